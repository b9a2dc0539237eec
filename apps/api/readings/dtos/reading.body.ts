import { MEASUREMENT_SITES, type MeasurementSite, type TemperatureUnit, type Ternary } from '#domain';
import {
  ChoiceField,
  CodeListField,
  DecimalField,
  FlagField,
  IdField,
  InstantField,
  TernaryField,
  TimeZoneField,
} from '../../edge/fields.js';
import { TEMPERATURE_UNITS } from '../../plans/dtos/plan.response.js';

const optional = { optional: true } as const;

export class ReadingBody {
  @IdField()
  readonly planId!: string;

  @InstantField()
  readonly at!: string;

  @TimeZoneField()
  readonly timeZone!: string;

  @DecimalField({ nullable: true, description: 'As read off; null when only symptoms are told.' })
  readonly value!: string | null;

  @ChoiceField(TEMPERATURE_UNITS)
  readonly unit!: TemperatureUnit;

  @ChoiceField(MEASUREMENT_SITES)
  readonly measurementSite!: MeasurementSite;

  @TernaryField({ ...optional, description: 'Something against fever was taken in the hours before.' })
  readonly antipyreticTaken?: Ternary;

  @TernaryField(optional)
  readonly feltFever?: Ternary;

  @CodeListField({ description: 'Codes of the plan’s symptoms that are present; empty when none is.' })
  readonly symptoms!: readonly string[];

  @FlagField({ ...optional, description: 'An implausible value was looked at again and stands.' })
  readonly confirmed?: boolean;
}
