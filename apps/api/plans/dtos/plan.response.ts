import {
  CHECK_KINDS,
  PERMITTED_WORK,
  type CheckKind,
  type EvidenceGrade,
  type PermittedWork,
  type Regime,
  type Slot,
  type TemperatureUnit,
} from '#domain';
import {
  ChoiceField,
  CodeField,
  DecimalField,
  FlagField,
  IdField,
  InstantField,
  LocalDateField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
  TimeZoneField,
  WholeNumberField,
} from '../../edge/fields.js';
import { EvidenceResponse, GRADES, PublishedSourceResponse } from '../../evidence/dtos/evidence.response.js';

export const TEMPERATURE_UNITS = ['Cel', '[degF]'] as const satisfies readonly TemperatureUnit[];
const REGIMES = [
  'none',
  'passive',
  'self',
  'self-supervised',
  'active',
  'direct-active',
] as const satisfies readonly Regime[];
const CHECK_STATES = ['due', 'done', 'withdrawn'] as const;

export class CheckResponse {
  @WordsField({ description: 'Its identity within the follow-up; survives recomputation.' })
  readonly key!: string;

  @ChoiceField(CHECK_KINDS)
  readonly kind!: CheckKind;

  @WordsField({ description: 'The agent profile that asks for it.' })
  readonly profile!: string;

  @LocalDateField()
  readonly localDate!: string;

  @ChoiceField(['morning', 'evening'], { nullable: true })
  readonly slot!: Slot | null;

  @WholeNumberField()
  readonly ordinal!: number;

  @InstantField()
  readonly dueFrom!: string;

  @InstantField()
  readonly dueUntil!: string;

  @WordsField()
  readonly label!: string;

  @PartField(() => PublishedSourceResponse)
  readonly source!: PublishedSourceResponse;

  @ChoiceField(GRADES)
  readonly grade!: EvidenceGrade;

  @ChoiceField(CHECK_STATES)
  readonly state!: (typeof CHECK_STATES)[number];

  @InstantField({ nullable: true })
  readonly doneAt!: string | null;
}

export class RestrictionResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly words!: string;

  @ChoiceField(PERMITTED_WORK)
  readonly work!: PermittedWork;

  @WordsField()
  readonly profile!: string;

  @LocalDateField()
  readonly from!: string;

  @LocalDateField()
  readonly until!: string;

  @PartField(() => PublishedSourceResponse)
  readonly source!: PublishedSourceResponse;

  @ChoiceField(GRADES)
  readonly grade!: EvidenceGrade;
}

export class ThresholdResponse extends EvidenceResponse {
  @DecimalField()
  readonly value!: string;

  @ChoiceField(TEMPERATURE_UNITS)
  readonly unit!: TemperatureUnit;

  @ChoiceField(['>=', '>'])
  readonly operator!: '>=' | '>';

  @WholeNumberField({ min: 1, max: 2, description: 'How many successive readings make a fever.' })
  readonly readings!: 1 | 2;

  @FlagField()
  readonly feltFeverCounts!: boolean;

  @WordsField()
  readonly profile!: string;
}

export class SymptomResponse extends EvidenceResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly words!: string;
}

/** One person’s follow-up. Day 0 is `dayZero`; the window ends at the end of `lastDay`, in `timeZone`. */
export class PlanResponse {
  @IdField()
  readonly planId!: string;

  @IdField({ nullable: true, description: 'Null for a reader who may not know whose it is.' })
  readonly personId!: string | null;

  @IdField()
  readonly incidentId!: string;

  @ChoiceField(['running', 'released'])
  readonly state!: 'running' | 'released';

  @ChoiceField(['interim', 'determination'], { description: 'Until a determination it follows the interim category.' })
  readonly basis!: 'interim' | 'determination';

  @WordsField({ description: 'The category that it is made for.' })
  readonly category!: string;

  @TextListField()
  readonly profiles!: readonly string[];

  @ChoiceField(REGIMES)
  readonly regime!: Regime;

  @LocalDateField()
  readonly dayZero!: string;

  @LocalDateField()
  readonly lastDay!: string;

  @TimeZoneField()
  readonly timeZone!: string;

  @WholeNumberField({ description: 'Local dates left until the last day; 0 after it.' })
  readonly daysRemaining!: number;

  @PartListField(() => CheckResponse)
  readonly checks!: readonly CheckResponse[];

  @PartListField(() => RestrictionResponse)
  readonly restrictions!: readonly RestrictionResponse[];

  @PartListField(() => ThresholdResponse, { description: 'Meeting any one of them is a fever.' })
  readonly thresholds!: readonly ThresholdResponse[];

  @PartListField(() => SymptomResponse)
  readonly symptoms!: readonly SymptomResponse[];

  @TextListField()
  readonly cautions!: readonly string[];

  @InstantField({ nullable: true })
  readonly releasedAt!: string | null;
}
