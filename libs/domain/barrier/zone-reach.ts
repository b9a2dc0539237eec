import type { Ternary } from '../decision/table.js';
import type { Protection, Zone } from './ensemble.js';
import type { Happening } from './happening.js';
import { layersOver, type LayerAtTheTime } from './layers-at-the-time.js';
import { allOf, anyOf, atMostUnknown } from './ternary.js';

/** What could have come to one zone, and on what grounds. */
export interface ZoneReach {
  readonly zone: Zone;
  readonly layers: readonly LayerAtTheTime[];
  /** Something wet or soiled could have reached what lies under the layers. */
  readonly contact: Ternary;
  /** The wearer or buddy saw it. */
  readonly seen: boolean;
  /**
   * The contact as a route. Where nothing failed and nothing was seen, and the zone was merely uncovered, contact was
   * possible but nobody says that it happened: that is unknown, neither "yes" nor "no".
   */
  readonly route: Ternary;
}

/** A respirator lies over mouth and nose and so holds back a splash too; a layer that only slows a sharp does not. */
const HOLDS_BACK_CONTACT: readonly Protection[] = ['splash', 'respiratory'];

/** Intact layers close a zone, layers that nobody looked at leave it in doubt, and only then is it open. */
export function openness(layers: readonly LayerAtTheTime[]): Ternary {
  if (layers.some(({ state }) => state === 'intact')) return 'no';
  return layers.some(({ state }) => state === 'unknown') ? 'unknown' : 'yes';
}

/**
 * Whether something wet or soiled was there. Putting on happens before the patient: while nobody said so, it is in doubt
 * only where a layer failed.
 */
export function soiling({ stage, fluid }: Happening, breached: boolean): Ternary {
  return stage === 'donning' && fluid === 'unknown' && !breached ? 'no' : fluid;
}

/** Contact at one zone. What was seen overrides upward and never downward. */
export function reachOf(zone: Zone, layers: readonly LayerAtTheTime[], happening: Happening): ZoneReach {
  const over = layersOver(zone, layers, happening);
  const breached = over.some(({ breaches }) => breaches.length > 0);
  const soiled = soiling(happening, breached);
  const open = openness(
    over.filter(({ layer }) => layer.protections.some((kind) => HOLDS_BACK_CONTACT.includes(kind))),
  );

  const { seen } = happening;
  const named = seen.zones.includes(zone);
  const wet =
    (named && seen.skinWet === 'yes') ||
    (zone === 'eyes' && seen.eyeSplash === 'yes') ||
    (zone === 'mouthNose' && seen.mouthNoseSplash === 'yes');
  const cut = named && seen.skinCut === 'yes';

  const contact = anyOf([allOf([open, soiled]), wet ? 'yes' : 'no', cut ? contactOfCut(happening) : 'no']);
  const evidenced = breached || wet || cut;
  return { zone, layers: over, contact, seen: wet || cut, route: evidenced ? contact : atMostUnknown(contact) };
}

/** A cut lies open to whatever was there; only before the patient and with nothing soiled is it a clean cut. */
export function contactOfCut({ stage, fluid }: Happening): Ternary {
  if (fluid === 'no') return stage === 'donning' ? 'no' : 'unknown';
  return fluid;
}
