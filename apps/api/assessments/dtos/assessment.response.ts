import type { EvidenceGrade, Level } from '#domain';
import {
  CodeField,
  FlagField,
  IdField,
  InstantField,
  MapField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
  WholeNumberField,
  ChoiceField,
} from '../../edge/fields.js';
import { EvidenceResponse, GRADES, PublishedSourceResponse } from '../../evidence/dtos/evidence.response.js';
import { BarrierResponse } from '../../incidents/dtos/barrier.response.js';

const CATEGORY_LISTS = { type: 'array', items: { type: 'string' } };

export class AssessedActionResponse extends EvidenceResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly words!: string;
}

export class OpenQuestionResponse {
  @CodeField()
  readonly fact!: string;

  @TextListField({ description: 'Answers that are still possible.' })
  readonly values!: readonly string[];

  @FlagField({ description: 'Every answer to this one question would settle the category.' })
  readonly settlesAlone!: boolean;

  @MapField(CATEGORY_LISTS, { description: 'The categories that each answer would leave reachable.' })
  readonly leaves!: Readonly<Record<string, readonly string[]>>;
}

export class FactChangeResponse {
  @CodeField()
  readonly fact!: string;

  @WordsField()
  readonly from!: string;

  @WordsField()
  readonly to!: string;
}

export class NearestChangeResponse {
  @PartListField(() => FactChangeResponse)
  readonly changes!: readonly FactChangeResponse[];

  @WordsField()
  readonly category!: string;
}

export class AppliedAdjustmentResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly words!: string;
}

export class ExplanationResponse {
  @WordsField()
  readonly words!: string;

  @WordsField({ nullable: true, description: 'The row of the published table.' })
  readonly row!: string | null;

  @MapField({ type: 'string' })
  readonly factsUsed!: Readonly<Record<string, string>>;

  @PartListField(() => AppliedAdjustmentResponse)
  readonly adjustments!: readonly AppliedAdjustmentResponse[];

  @PartField(() => NearestChangeResponse, {
    nullable: true,
    description: 'The least change of fact that would change the category.',
  })
  readonly nearestChange!: NearestChangeResponse | null;
}

/** What a table says of one set of facts. Unsettled, it is the worst outcome that is still reachable. */
export class AssessmentResponse {
  @CodeField()
  readonly table!: string;

  @WordsField()
  readonly version!: string;

  @WordsField()
  readonly hash!: string;

  @WordsField({ description: 'In the words of the issuing authority.' })
  readonly category!: string;

  @CodeField()
  readonly categoryId!: string;

  @PartListField(() => AssessedActionResponse)
  readonly actions!: readonly AssessedActionResponse[];

  @WholeNumberField({ max: 3, nullable: true, description: '0 none to 3 high; null when the authority left it open.' })
  readonly level!: Level | null;

  @FlagField()
  readonly settled!: boolean;

  @TextListField({ description: 'Category words that are still reachable, worst first.' })
  readonly reachable!: readonly string[];

  @PartListField(() => OpenQuestionResponse)
  readonly openQuestions!: readonly OpenQuestionResponse[];

  @WordsField({ nullable: true })
  readonly rule!: string | null;

  @ChoiceField(GRADES)
  readonly grade!: EvidenceGrade;

  @PartListField(() => PublishedSourceResponse)
  readonly sources!: readonly PublishedSourceResponse[];

  @PartField(() => ExplanationResponse)
  readonly explanation!: ExplanationResponse;

  @TextListField()
  readonly cautions!: readonly string[];
}

/** One assessment of one revision of an incident; never changed afterwards. */
export class AssessmentRecordResponse {
  @IdField()
  readonly assessmentId!: string;

  @IdField()
  readonly incidentId!: string;

  @WholeNumberField()
  readonly revision!: number;

  @WordsField()
  readonly factsVersion!: string;

  @MapField(
    { anyOf: [{ type: 'string' }, { type: 'number' }, { type: 'object' }, { type: 'null' }] },
    { description: 'The facts that the table read; what is absent was unknown.' },
  )
  readonly facts!: Readonly<Record<string, unknown>>;

  @PartField(() => AssessmentResponse)
  readonly result!: AssessmentResponse;

  @PartField(() => BarrierResponse)
  readonly barrier!: BarrierResponse;

  @WordsField({ description: 'The agent profile that the plan is made from.' })
  readonly profile!: string;

  @WordsField({ description: 'Why this table governs, or why the cautious default stands in.' })
  readonly governing!: string;

  @InstantField()
  readonly madeAt!: string;
}

export class AssessmentListResponse {
  @PartListField(() => AssessmentRecordResponse, { description: 'Oldest first.' })
  readonly items!: readonly AssessmentRecordResponse[];
}
