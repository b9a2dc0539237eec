import { ZONES, type Protection, type Zone } from '#domain';
import {
  ChoiceListField,
  CodeField,
  CodeListField,
  FlagField,
  MapField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
} from '../../edge/fields.js';
import { EvidenceResponse } from '../../evidence/dtos/evidence.response.js';

const PROTECTIONS = ['splash', 'respiratory', 'puncture-limited'] as const satisfies readonly Protection[];

export class LayerResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly name!: string;

  @ChoiceListField(ZONES)
  readonly zones!: readonly Zone[];

  @ChoiceListField(PROTECTIONS)
  readonly protections!: readonly Protection[];

  @TextListField({ description: 'What the wearer or buddy looks for on it.' })
  readonly checks!: readonly string[];
}

export class SequenceStepResponse {
  @CodeField()
  readonly id!: string;

  @WordsField({ description: 'As the buddy reads it aloud.' })
  readonly words!: string;

  @CodeListField()
  readonly layers!: readonly string[];

  @TextListField({ optional: true })
  readonly checks?: readonly string[];
}

export class BreachRulesResponse {
  @MapField({ type: 'string' }, { description: 'By layer.' })
  readonly donning!: Readonly<Record<string, string>>;

  @TextListField()
  readonly patientCare!: readonly string[];

  @TextListField()
  readonly removal!: readonly string[];

  @MapField({ type: 'array', items: { type: 'string' } }, { description: 'By route.' })
  readonly exceptions!: Readonly<Record<string, readonly string[]>>;

  @TextListField()
  readonly emergencyRemoval!: readonly string[];
}

export class BuddyResponse {
  @CodeListField({ description: 'What the buddy wears.' })
  readonly layers!: readonly string[];

  @TextListField()
  readonly duties!: readonly string[];
}

/** The protective clothing that a unit uses, with both sequences. */
export class EnsembleResponse extends EvidenceResponse {
  @CodeField()
  readonly id!: string;

  @WordsField()
  readonly version!: string;

  @WordsField()
  readonly name!: string;

  @FlagField()
  readonly needsLocalConfirmation!: boolean;

  @PartListField(() => LayerResponse, { description: 'Outermost first.' })
  readonly layers!: readonly LayerResponse[];

  @PartListField(() => SequenceStepResponse)
  readonly donning!: readonly SequenceStepResponse[];

  @PartListField(() => SequenceStepResponse)
  readonly removal!: readonly SequenceStepResponse[];

  @PartField(() => BuddyResponse)
  readonly buddy!: BuddyResponse;

  @PartField(() => BreachRulesResponse)
  readonly breachRules!: BreachRulesResponse;
}
