import type { FactQuestion } from '#application';
import type { EvidenceGrade } from '#domain';
import {
  ChoiceField,
  CodeField,
  IdField,
  LocalTimeField,
  MapField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
  TimeZoneField,
  WholeNumberField,
} from '../../edge/fields.js';
import { GRADES, PublishedSourceResponse } from '../../evidence/dtos/evidence.response.js';
import { EmergencyResponse } from '../../incidents/dtos/advice.response.js';
import { QUESTION_SCHEMA, VocabularyResponse } from '../../tables/dtos/facts.response.js';
import { EnsembleResponse } from './ensemble.response.js';

export class OccupationalHealthResponse {
  @WordsField()
  readonly telephone!: string;

  @WordsField()
  readonly email!: string;
}

export class OnCallClinicianResponse {
  @WordsField()
  readonly telephone!: string;
}

export class UnitResponse {
  @IdField()
  readonly unitId!: string;

  @WordsField()
  readonly name!: string;

  @CodeField()
  readonly ensembleId!: string;

  @WordsField()
  readonly ensembleVersion!: string;
}

export class AgentResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly name!: string;
}

export class WordedResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly words!: string;
}

/** Codes with the words that a form shows for them. */
export class FormWordsResponse {
  @PartListField(() => WordedResponse)
  readonly tasks!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly fluids!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly lapses!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly firstAidActions!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly stages!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly extents!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly manners!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly zones!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly certainties!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly measurementSites!: readonly WordedResponse[];

  @PartListField(() => WordedResponse)
  readonly alertOutcomes!: readonly WordedResponse[];
}

export class FirstAidStepResponse {
  @CodeField()
  readonly code!: string;

  @WordsField()
  readonly words!: string;

  @WholeNumberField({ nullable: true, description: 'Only irrigation has a time.' })
  readonly minutes!: number | null;

  @ChoiceField(GRADES)
  readonly grade!: EvidenceGrade;

  @PartListField(() => PublishedSourceResponse)
  readonly sources!: readonly PublishedSourceResponse[];
}

export class ReadingBandResponse {
  @LocalTimeField()
  readonly from!: string;

  @LocalTimeField()
  readonly until!: string;
}

export class ReadingBandsResponse {
  @PartField(() => ReadingBandResponse)
  readonly morning!: ReadingBandResponse;

  @PartField(() => ReadingBandResponse)
  readonly evening!: ReadingBandResponse;
}

export class GoverningRuleResponse {
  @CodeField()
  readonly agent!: string;

  @ChoiceField(['confirmed', 'suspected', 'any'])
  readonly certainty!: 'confirmed' | 'suspected' | 'any';

  @WordsField()
  readonly table!: string;

  @WordsField()
  readonly profile!: string;
}

export class SettingsResponse {
  @PartField(() => EmergencyResponse)
  readonly emergency!: EmergencyResponse;

  @PartField(() => OccupationalHealthResponse)
  readonly occupationalHealth!: OccupationalHealthResponse;

  @PartField(() => OnCallClinicianResponse, { nullable: true })
  readonly onCallClinician!: OnCallClinicianResponse | null;

  @PartField(() => ReadingBandsResponse)
  readonly readingBands!: ReadingBandsResponse;

  @WholeNumberField()
  readonly readingGraceMinutes!: number;

  @WholeNumberField()
  readonly acknowledgementPauseMinutes!: number;

  @PartListField(() => GoverningRuleResponse)
  readonly governing!: readonly GoverningRuleResponse[];
}

/** What the forms and the head of every page need; no clinical fact about anybody. */
export class SiteResponse {
  @IdField()
  readonly siteId!: string;

  @WordsField()
  readonly name!: string;

  @TimeZoneField()
  readonly timeZone!: string;

  @PartField(() => EmergencyResponse)
  readonly emergency!: EmergencyResponse;

  @PartField(() => OccupationalHealthResponse)
  readonly occupationalHealth!: OccupationalHealthResponse;

  @PartField(() => OnCallClinicianResponse, { nullable: true })
  readonly onCallClinician!: OnCallClinicianResponse | null;

  @PartListField(() => UnitResponse)
  readonly units!: readonly UnitResponse[];

  @PartListField(() => EnsembleResponse)
  readonly ensembles!: readonly EnsembleResponse[];

  @PartListField(() => AgentResponse)
  readonly agents!: readonly AgentResponse[];

  @PartField(() => FormWordsResponse)
  readonly form!: FormWordsResponse;

  @PartListField(() => FirstAidStepResponse, { description: 'For every route, before anything is asked.' })
  readonly firstAid!: readonly FirstAidStepResponse[];

  @PartField(() => VocabularyResponse)
  readonly vocabulary!: VocabularyResponse;

  @MapField(QUESTION_SCHEMA)
  readonly questions!: Readonly<Record<string, FactQuestion>>;

  @PartField(() => SettingsResponse, { nullable: true, description: 'The administrator’s alone.' })
  readonly settings!: SettingsResponse | null;
}

export class ChangedSettingsResponse {
  @PartField(() => SettingsResponse)
  readonly settings!: SettingsResponse;

  @TextListField({ description: 'What is still missing for three in the morning.' })
  readonly warnings!: readonly string[];
}
