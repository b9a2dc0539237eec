import {
  ChoiceField,
  CodeField,
  LocalTimeField,
  PartField,
  PartListField,
  TextField,
  WholeNumberField,
} from '../../edge/fields.js';

const optional = { optional: true } as const;
const A_DAY_OF_MINUTES = 24 * 60;

export class EmergencyBody {
  @TextField({ min: 1, max: 400 })
  readonly words!: string;

  @TextField({ min: 1, max: 40 })
  readonly telephone!: string;
}

export class OccupationalHealthBody {
  @TextField({ min: 1, max: 40 })
  readonly telephone!: string;

  @TextField({ min: 3, max: 200, description: 'Where alerts are mailed to.' })
  readonly email!: string;
}

export class OnCallClinicianBody {
  @TextField({ min: 1, max: 40 })
  readonly telephone!: string;
}

export class ReadingBandBody {
  @LocalTimeField()
  readonly from!: string;

  @LocalTimeField()
  readonly until!: string;
}

export class ReadingBandsBody {
  @PartField(() => ReadingBandBody)
  readonly morning!: ReadingBandBody;

  @PartField(() => ReadingBandBody)
  readonly evening!: ReadingBandBody;
}

export class GoverningRuleBody {
  @CodeField()
  readonly agent!: string;

  @ChoiceField(['confirmed', 'suspected', 'any'])
  readonly certainty!: 'confirmed' | 'suspected' | 'any';

  @CodeField()
  readonly table!: string;

  @CodeField()
  readonly profile!: string;
}

/** Only what is changed. */
export class SettingsBody {
  @PartField(() => EmergencyBody, optional)
  readonly emergency?: EmergencyBody;

  @PartField(() => OccupationalHealthBody, optional)
  readonly occupationalHealth?: OccupationalHealthBody;

  @PartField(() => OnCallClinicianBody, { ...optional, nullable: true })
  readonly onCallClinician?: OnCallClinicianBody | null;

  @PartField(() => ReadingBandsBody, optional)
  readonly readingBands?: ReadingBandsBody;

  @WholeNumberField({ ...optional, max: A_DAY_OF_MINUTES })
  readonly readingGraceMinutes?: number;

  @WholeNumberField({ ...optional, min: 1, max: A_DAY_OF_MINUTES })
  readonly acknowledgementPauseMinutes?: number;

  @PartListField(() => GoverningRuleBody, optional)
  readonly governing?: readonly GoverningRuleBody[];
}
