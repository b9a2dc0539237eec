import {
  CodeField,
  CodeListField,
  FlagField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
  WholeNumberField,
} from '../../edge/fields.js';
import { EvidenceResponse } from '../../evidence/dtos/evidence.response.js';

export class EmergencyResponse {
  @WordsField()
  readonly words!: string;

  @WordsField()
  readonly telephone!: string;
}

export class TelephoneLineResponse {
  @WordsField()
  readonly who!: string;

  @WordsField()
  readonly telephone!: string;
}

export class AdvisedActionResponse extends EvidenceResponse {
  @WordsField()
  readonly words!: string;
}

export class AdvisedFirstAidResponse extends AdvisedActionResponse {
  @CodeField()
  readonly code!: string;

  @WholeNumberField({ nullable: true, description: 'Only irrigation has a time.' })
  readonly minutes!: number | null;
}

export class AdvisedRemovalStepResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly words!: string;

  @CodeListField()
  readonly layers!: readonly string[];

  @TextListField()
  readonly checks!: readonly string[];

  @FlagField({ description: 'This step takes off a layer that failed.' })
  readonly breached!: boolean;
}

export class RemovalAdviceResponse {
  @TextListField()
  readonly rule!: readonly string[];

  @TextListField()
  readonly exceptions!: readonly string[];

  @PartListField(() => AdvisedRemovalStepResponse, { description: 'The steps that are left.' })
  readonly steps!: readonly AdvisedRemovalStepResponse[];

  @TextListField({ description: 'For somebody who collapses.' })
  readonly emergency!: readonly string[];
}

/** What to do now, in the order in which it is read. It never names the category. */
export class AdviceResponse {
  @PartField(() => EmergencyResponse)
  readonly emergency!: EmergencyResponse;

  @PartListField(() => TelephoneLineResponse)
  readonly telephones!: readonly TelephoneLineResponse[];

  @PartListField(() => AdvisedFirstAidResponse)
  readonly firstAid!: readonly AdvisedFirstAidResponse[];

  @PartField(() => RemovalAdviceResponse)
  readonly removal!: RemovalAdviceResponse;

  @PartListField(() => AdvisedActionResponse, { description: 'Until occupational health has asked.' })
  readonly untilAsked!: readonly AdvisedActionResponse[];

  @TextListField()
  readonly cautions!: readonly string[];
}
