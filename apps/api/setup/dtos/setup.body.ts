import {
  FlagField,
  IdField,
  PartField,
  PartListField,
  TextField,
  TimeZoneField,
  ValueField,
  WordsField,
} from '../../edge/fields.js';
import { ArrayMaxSize, ArrayMinSize, IsArray, IsString, MaxLength } from 'class-validator';
import { EmergencyBody, OccupationalHealthBody, OnCallClinicianBody } from '../../sites/dtos/settings.body.js';

const UNITS = {
  schema: { type: 'array', items: { type: 'string', minLength: 1, maxLength: 80 }, minItems: 1, maxItems: 50 },
  rule: {
    accepted: 'a list of 1 to 50 names',
    rules: [IsArray, (rule: object) => ArrayMinSize(1, rule), (rule: object) => ArrayMaxSize(50, rule)],
  },
};

/** The first site and its first administrator. */
export class SetupBody {
  @TextField({ min: 1, max: 200, description: 'From the link that the service printed at its start.' })
  readonly token!: string;

  @TextField({ min: 1, max: 120 })
  readonly siteName!: string;

  @TimeZoneField()
  readonly timeZone!: string;

  @ValueField(UNITS.schema, UNITS.rule, { description: 'Names of the units where the protective clothing is worn.' })
  @IsString({ each: true })
  @MaxLength(80, { each: true })
  readonly units!: readonly string[];

  @PartField(() => EmergencyBody)
  readonly emergency!: EmergencyBody;

  @PartField(() => OccupationalHealthBody)
  readonly occupationalHealth!: OccupationalHealthBody;

  @PartField(() => OnCallClinicianBody, { optional: true })
  readonly onCallClinician?: OnCallClinicianBody;

  @TextField({ min: 3, max: 120 })
  readonly login!: string;

  @TextField({ min: 1, max: 256 })
  readonly password!: string;
}

export class SetupNeededResponse {
  @FlagField()
  readonly needed!: boolean;
}

export class NamedUnitResponse {
  @IdField()
  readonly unitId!: string;

  @WordsField()
  readonly name!: string;
}

export class SiteSetUpResponse {
  @IdField()
  readonly siteId!: string;

  @IdField()
  readonly accountId!: string;

  @PartListField(() => NamedUnitResponse)
  readonly units!: readonly NamedUnitResponse[];
}
