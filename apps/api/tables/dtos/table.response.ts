import type { FactQuestion } from '#application';
import type { Condition, Conjunction, EvidenceGrade, HitPolicy, Level } from '#domain';
import {
  ChoiceField,
  CodeField,
  FlagField,
  IdField,
  InstantField,
  MapField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
  ValueField,
  WholeNumberField,
} from '../../edge/fields.js';
import { EvidenceResponse, GRADES } from '../../evidence/dtos/evidence.response.js';
import { QUESTION_SCHEMA } from './facts.response.js';

const CONJUNCTION_SCHEMA = { type: 'object', additionalProperties: true };
const WHEN = {
  schema: { anyOf: [CONJUNCTION_SCHEMA, { type: 'array', items: CONJUNCTION_SCHEMA }] },
  rule: { accepted: 'conditions', rules: [] },
};

export class LocalConfirmationResponse {
  @WordsField()
  readonly by!: string;

  @InstantField()
  readonly at!: string;
}

export class GovernsResponse {
  @CodeField()
  readonly agent!: string;

  @WordsField()
  readonly certainty!: string;

  @WordsField()
  readonly profile!: string;
}

/** A decision table, and whether it may govern at this site. */
export class TableCardResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly version!: string;

  @WordsField()
  readonly hash!: string;

  @WordsField()
  readonly authority!: string;

  @WordsField()
  readonly title!: string;

  @WordsField()
  readonly validFrom!: string;

  @WordsField({ nullable: true })
  readonly validUntil!: string | null;

  @WordsField({ nullable: true })
  readonly supersededBy!: string | null;

  @WholeNumberField()
  readonly rules!: number;

  @ChoiceField(GRADES)
  readonly weakestGrade!: EvidenceGrade;

  @TextListField({ description: 'Ids of the rules that were remembered.' })
  readonly needsConfirmation!: readonly string[];

  @PartField(() => LocalConfirmationResponse, { nullable: true })
  readonly confirmed!: LocalConfirmationResponse | null;

  @FlagField()
  readonly live!: boolean;

  @PartListField(() => GovernsResponse)
  readonly governs!: readonly GovernsResponse[];
}

export class TableListResponse {
  @PartListField(() => TableCardResponse)
  readonly items!: readonly TableCardResponse[];
}

export class CutPointResponse {
  @WordsField()
  readonly at!: string;

  @ChoiceField(['>=', '>'])
  readonly operator!: '>=' | '>';
}

export class TableInputResponse {
  @CodeField()
  readonly fact!: string;

  @PartListField(() => CutPointResponse, { optional: true })
  readonly cuts?: readonly CutPointResponse[];
}

export class CategoryResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly words!: string;

  @FlagField({ optional: true, description: 'The wording is ours, not the issuer’s.' })
  readonly derived?: boolean;

  @WholeNumberField({ max: 3 })
  readonly level!: Level;

  @TextListField()
  readonly actions!: readonly string[];
}

export class RuleOutcomeResponse {
  @CodeField()
  readonly category!: string;

  @TextListField({ optional: true })
  readonly actions?: readonly string[];
}

export class RuleResponse extends EvidenceResponse {
  @CodeField()
  readonly id!: string;

  @WordsField({ optional: true })
  readonly row?: string;

  @ValueField(WHEN.schema, WHEN.rule)
  readonly when!: Conjunction | readonly Conjunction[];

  @PartField(() => RuleOutcomeResponse)
  readonly then!: RuleOutcomeResponse;

  @WordsField()
  readonly words!: string;
}

export class AdjustmentResponse extends EvidenceResponse {
  @CodeField()
  readonly id!: string;

  @TextListField()
  readonly appliesTo!: readonly string[];

  @ValueField(WHEN.schema, WHEN.rule)
  readonly when!: Conjunction | readonly Conjunction[];

  @WholeNumberField({ min: 1, max: 2 })
  readonly raise!: 1 | 2;

  @WordsField()
  readonly words!: string;
}

export class ImpossibleResponse {
  @MapField({})
  readonly when!: Readonly<Record<string, Condition>>;

  @WordsField()
  readonly why!: string;
}

/** As its authority published it, row by row. */
export class DecisionTableResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly version!: string;

  @WordsField()
  readonly authority!: string;

  @WordsField()
  readonly title!: string;

  @WordsField()
  readonly vocabulary!: string;

  @ChoiceField(['unique', 'first', 'priority'])
  readonly hitPolicy!: HitPolicy;

  @PartListField(() => TableInputResponse)
  readonly inputs!: readonly TableInputResponse[];

  @PartListField(() => CategoryResponse)
  readonly categories!: readonly CategoryResponse[];

  @MapField({ type: 'object', properties: { words: { type: 'string' }, grade: { type: 'string' } } })
  readonly actions!: Readonly<Record<string, { readonly words: string; readonly grade: EvidenceGrade }>>;

  @PartListField(() => ImpossibleResponse)
  readonly impossible!: readonly ImpossibleResponse[];

  @PartListField(() => RuleResponse)
  readonly rules!: readonly RuleResponse[];

  @PartListField(() => AdjustmentResponse)
  readonly adjustments!: readonly AdjustmentResponse[];

  @FlagField()
  readonly adjustmentsAdd!: boolean;

  @TextListField()
  readonly cautions!: readonly string[];
}

export class TableResponse extends TableCardResponse {
  @PartField(() => DecisionTableResponse)
  readonly table!: DecisionTableResponse;

  @MapField(QUESTION_SCHEMA)
  readonly questions!: Readonly<Record<string, FactQuestion>>;
}

export class ConfirmedTableResponse {
  @CodeField()
  readonly subject!: string;

  @WordsField()
  readonly version!: string;

  @WordsField()
  readonly hash!: string;

  @IdField()
  readonly confirmedBy!: string;

  @WordsField()
  readonly confirmedByName!: string;

  @InstantField()
  readonly at!: string;
}
