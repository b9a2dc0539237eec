import {
  CodeField,
  FlagField,
  IdField,
  InstantField,
  PartField,
  WordsField,
  WholeNumberField,
} from '../../edge/fields.js';
import { PlanDifferenceResponse } from '../../plans/dtos/plan-difference.response.js';
import { PlanResponse } from '../../plans/dtos/plan.response.js';

/** The signed decision. It says on which revision it was based. */
export class DeterminationResponse {
  @IdField()
  readonly determinationId!: string;

  @IdField()
  readonly incidentId!: string;

  @WholeNumberField()
  readonly onRevision!: number;

  @IdField()
  readonly assessmentId!: string;

  @CodeField()
  readonly categoryId!: string;

  @WordsField()
  readonly category!: string;

  @FlagField()
  readonly departs!: boolean;

  @WordsField({ nullable: true })
  readonly reason!: string | null;

  @IdField()
  readonly signedBy!: string;

  @WordsField({ nullable: true, description: 'As it was signed; null for whoever may not have names.' })
  readonly signedByName!: string | null;

  @IdField({ nullable: true })
  readonly secondClinician!: string | null;

  @WordsField({ nullable: true, description: 'As it was signed; null for whoever may not have names.' })
  readonly secondClinicianName!: string | null;

  @InstantField()
  readonly at!: string;
}

export class DeterminedResponse {
  @PartField(() => DeterminationResponse)
  readonly determination!: DeterminationResponse;

  @WholeNumberField({ description: 'The incident’s new revision, its ETag.' })
  readonly revision!: number;

  @PartField(() => PlanResponse, { nullable: true })
  readonly plan!: PlanResponse | null;

  @PartField(() => PlanDifferenceResponse, { nullable: true })
  readonly difference!: PlanDifferenceResponse | null;
}
