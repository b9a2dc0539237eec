import { ROUTES, ZONES, type LayerState, type RouteFacts, type Ternary, type Zone } from '#domain';
import {
  ChoiceField,
  CodeField,
  MapField,
  PartListField,
  WordsField,
  TextListField,
  YES_NO_UNKNOWN,
  TernaryField,
} from '../../edge/fields.js';

const LAYER_STATES = [
  'intact',
  'unknown',
  'partial',
  'total',
  'off',
  'not-on-yet',
] as const satisfies readonly LayerState[];

export class LayerStateResponse {
  @CodeField()
  readonly layer!: string;

  @ChoiceField(LAYER_STATES)
  readonly state!: LayerState;
}

export class ZoneResponse {
  @ChoiceField(ZONES)
  readonly zone!: Zone;

  @PartListField(() => LayerStateResponse, { description: 'Outermost first; the skin is inside the last.' })
  readonly layers!: readonly LayerStateResponse[];

  @TernaryField({ description: 'Whether what was outside could have reached skin, mucosa or airway here.' })
  readonly reached!: Ternary;
}

/** What was left between the outside and the body, zone by zone. */
export class BarrierResponse {
  @WordsField()
  readonly ensemble!: string;

  @PartListField(() => ZoneResponse)
  readonly zones!: readonly ZoneResponse[];

  @MapField({ type: 'string', enum: [...YES_NO_UNKNOWN] }, { description: `One answer a route: ${ROUTES.join(', ')}.` })
  readonly routes!: RouteFacts;

  @TextListField()
  readonly reasons!: readonly string[];
}
