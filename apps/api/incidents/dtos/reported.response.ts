import { FlagField, IdField, PartField, WordsField, WholeNumberField } from '../../edge/fields.js';
import { AssessmentResponse } from '../../assessments/dtos/assessment.response.js';
import { PlanDifferenceResponse } from '../../plans/dtos/plan-difference.response.js';
import { PlanResponse } from '../../plans/dtos/plan.response.js';
import { AdviceResponse } from './advice.response.js';
import { BarrierResponse } from './barrier.response.js';

/** The answer to a report. A buddy who reported for somebody else gets the advice alone. */
export class ReportedIncidentResponse {
  @IdField()
  readonly incidentId!: string;

  @IdField()
  readonly eventId!: string;

  @IdField()
  readonly reportId!: string;

  @WholeNumberField()
  readonly revision!: number;

  @PartField(() => AdviceResponse)
  readonly advice!: AdviceResponse;

  @PartField(() => AssessmentResponse, { nullable: true })
  readonly assessment!: AssessmentResponse | null;

  @WordsField({ nullable: true, description: 'Why this table governs, or why the cautious default stands in.' })
  readonly governing!: string | null;

  @PartField(() => BarrierResponse, { nullable: true })
  readonly barrier!: BarrierResponse | null;

  @PartField(() => PlanResponse, { nullable: true, description: 'None for a near miss.' })
  readonly plan!: PlanResponse | null;
}

export class AmendedIncidentResponse {
  @IdField()
  readonly incidentId!: string;

  @WholeNumberField()
  readonly revision!: number;

  @PartField(() => AdviceResponse)
  readonly advice!: AdviceResponse;

  @PartField(() => AssessmentResponse)
  readonly assessment!: AssessmentResponse;

  @WordsField()
  readonly governing!: string;

  @PartField(() => BarrierResponse)
  readonly barrier!: BarrierResponse;

  @PartField(() => PlanResponse, { nullable: true })
  readonly plan!: PlanResponse | null;

  @PartField(() => PlanDifferenceResponse, { nullable: true })
  readonly difference!: PlanDifferenceResponse | null;

  @FlagField({ description: 'What tightens took effect with this answer.' })
  readonly tightenedAtOnce!: boolean;

  @FlagField({ description: 'What would loosen waits for a signature.' })
  readonly needsDetermination!: boolean;
}
