import type { Ternary } from '../decision/table.js';
import type { Zone } from './ensemble.js';

export const STAGES = ['donning', 'patient-care', 'removal', 'after-removal'] as const;
export type Stage = (typeof STAGES)[number];

export const EXTENTS = ['partial', 'total'] as const;
export const MANNERS = ['tear', 'displacement', 'wetting-through', 'seal-loss', 'missing', 'puncture'] as const;
export type Extent = (typeof EXTENTS)[number];
export type Manner = (typeof MANNERS)[number];

/** One layer failing. */
export interface Breach {
  readonly layer: string;
  readonly extent: Extent | 'unknown';
  readonly manner: Manner | 'unknown';
}

/** What the wearer or buddy saw on the body itself; it overrides the derivation upward. */
export interface Seen {
  readonly skinWet: Ternary;
  readonly skinCut: Ternary;
  /** Where the wet or cut skin was; empty when not known. */
  readonly zones: readonly Zone[];
  readonly eyeSplash: Ternary;
  readonly mouthNoseSplash: Ternary;
  readonly sharpsInjury: Ternary;
  /** Eczema, a graze or an older cut under the layer. */
  readonly brokenSkinBefore: Ternary;
}

/** The part of a report that the barrier is derived from. */
export interface Happening {
  readonly stage: Stage;
  /** While removing: the step that was being done, by its id; `null` when not known. */
  readonly step: string | null;
  readonly breaches: readonly Breach[];
  /** Layers that somebody looked at after removal and found whole. Everything else is unknown, never intact. */
  readonly foundWhole: readonly string[];
  /** Blood, body fluid or a surface soiled with it was there. */
  readonly fluid: Ternary;
  readonly seen: Seen;
}

export const ROUTES = [
  'percutaneous',
  'mucosaEye',
  'mucosaMouthNose',
  'brokenSkin',
  'intactSkin',
  'inhalation',
  'clothingOnly',
] as const;
export type Route = (typeof ROUTES)[number];
/** One fact a route, since one event can have several. */
export type RouteFacts = Readonly<Record<Route, Ternary>>;

/** `off`: taken off before it happened; `not-on-yet`: donning had not reached it. */
export type LayerState = 'intact' | 'unknown' | 'partial' | 'total' | 'off' | 'not-on-yet';

export interface ZonePicture {
  readonly zone: Zone;
  /** Outermost first; the skin is inside the last. */
  readonly layers: readonly { readonly layer: string; readonly state: LayerState }[];
  /** Whether what was outside could have reached skin, mucosa or airway here. */
  readonly reached: Ternary;
}

export interface BarrierPicture {
  readonly ensemble: string;
  readonly zones: readonly ZonePicture[];
  readonly routes: RouteFacts;
  /** Why, a sentence a route that is not "no". */
  readonly reasons: readonly string[];
}
