import {
  MEASUREMENT_SITES,
  type MeasurementSite,
  type Plausibility,
  type TemperatureUnit,
  type Ternary,
} from '#domain';
import {
  ChoiceField,
  CodeListField,
  DecimalField,
  FlagField,
  IdField,
  InstantField,
  PartField,
  PartListField,
  TernaryField,
  WordsField,
  TextListField,
} from '../../edge/fields.js';
import { EmergencyResponse } from '../../incidents/dtos/advice.response.js';
import { TEMPERATURE_UNITS } from '../../plans/dtos/plan.response.js';

const PLAUSIBILITIES = ['plausible', 'implausible', 'refused'] as const satisfies readonly Plausibility[];

export class ReadingJudgementResponse {
  @ChoiceField(['fever', 'symptom', 'implausible'], { nullable: true })
  readonly alert!: 'fever' | 'symptom' | 'implausible' | null;

  @TextListField()
  readonly reasons!: readonly string[];

  @FlagField({ description: 'False also for a low reading soon after something against fever.' })
  readonly reassuring!: boolean;

  @ChoiceField(PLAUSIBILITIES)
  readonly plausibility!: Plausibility;
}

export class OccupationalHealthLineResponse {
  @WordsField()
  readonly telephone!: string;
}

export class ReadingAdviceResponse {
  @PartField(() => EmergencyResponse)
  readonly emergency!: EmergencyResponse;

  @PartField(() => OccupationalHealthLineResponse)
  readonly occupationalHealth!: OccupationalHealthLineResponse;

  @TextListField()
  readonly actions!: readonly string[];
}

/** Fever or a symptom: the answer says so, and an alert waits for occupational health. */
export class RecordedReadingResponse {
  @IdField()
  readonly readingId!: string;

  @PartField(() => ReadingJudgementResponse)
  readonly judgement!: ReadingJudgementResponse;

  @IdField({ nullable: true })
  readonly alertId!: string | null;

  @WordsField({ nullable: true, description: 'The check that this reading answers.' })
  readonly checkKey!: string | null;

  @PartField(() => ReadingAdviceResponse, { nullable: true, description: 'What to do at once.' })
  readonly advice!: ReadingAdviceResponse | null;
}

export class ReadingResponse {
  @IdField()
  readonly readingId!: string;

  @IdField()
  readonly planId!: string;

  @WordsField({ nullable: true })
  readonly checkKey!: string | null;

  @InstantField()
  readonly at!: string;

  @DecimalField({ nullable: true })
  readonly value!: string | null;

  @ChoiceField(TEMPERATURE_UNITS)
  readonly unit!: TemperatureUnit;

  @ChoiceField(MEASUREMENT_SITES)
  readonly measurementSite!: MeasurementSite;

  @TernaryField()
  readonly antipyreticTaken!: Ternary;

  @TernaryField()
  readonly feltFever!: Ternary;

  @CodeListField()
  readonly symptoms!: readonly string[];

  @InstantField()
  readonly enteredAt!: string;

  @PartField(() => ReadingJudgementResponse)
  readonly judgement!: ReadingJudgementResponse;
}

export class ReadingListResponse {
  @PartListField(() => ReadingResponse)
  readonly items!: readonly ReadingResponse[];
}
