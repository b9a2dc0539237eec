import type { Ternary } from '../decision/table.js';
import type { Zone } from './ensemble.js';
import type { Happening, RouteFacts } from './happening.js';
import { mayBePuncture, type LayerAtTheTime } from './layers-at-the-time.js';
import { allOf, anyOf, atMostUnknown } from './ternary.js';
import { contactOfCut, openness, soiling, type ZoneReach } from './zone-reach.js';

/** Zones whose outermost tissue is skin; eyes, mouth and nose are mucosa. */
export const SKIN_ZONES: readonly Zone[] = ['hands', 'forearms', 'trunk', 'legs', 'feet', 'neck', 'head', 'face'];

/** Zones that clothing covers, so that a layer over one of them is a garment and not a glove or a visor. */
const GARMENT_ZONES: readonly Zone[] = ['trunk', 'legs', 'feet', 'neck', 'head'];

/** One fact a route. */
export function routesOf(
  reaches: readonly ZoneReach[],
  layers: readonly LayerAtTheTime[],
  happening: Happening,
): RouteFacts {
  const { seen } = happening;
  const at = (zone: Zone) => reaches.find((reach) => reach.zone === zone)?.route ?? 'unknown';
  const percutaneous = percutaneousRoute(reaches, layers, happening);
  const mucosaEye = at('eyes');
  const mucosaMouthNose = at('mouthNose');
  const intactSkin = anyOf([
    ...SKIN_ZONES.map(at),
    // Seen, but nobody said where.
    seen.skinWet === 'yes' ? 'yes' : 'no',
    seen.skinCut === 'yes' ? contactOfCut(happening) : 'no',
  ]);
  const brokenSkin = allOf([intactSkin, anyOf([seen.brokenSkinBefore, seen.skinCut])]);
  const body = anyOf([percutaneous, mucosaEye, mucosaMouthNose, intactSkin]);
  return {
    percutaneous,
    mucosaEye,
    mucosaMouthNose,
    brokenSkin,
    intactSkin,
    inhalation: inhalationRoute(respiratoryLayers(reaches), happening),
    clothingOnly: clothingOnlyRoute(layers, happening, body),
  };
}

/**
 * A sharp is excluded only by somebody who says that there was no sharps injury, and, where a layer was or may have been
 * punctured, by a layer under it that was found whole. It does not depend on visible fluid: a used needle looks clean.
 */
function percutaneousRoute(
  reaches: readonly ZoneReach[],
  layers: readonly LayerAtTheTime[],
  happening: Happening,
): Ternary {
  const { stage, fluid, seen } = happening;
  if (seen.sharpsInjury === 'yes') return 'yes';
  const beforeThePatient = stage === 'donning';
  if (beforeThePatient && fluid === 'no') return 'no';
  if (seen.skinCut === 'yes') return 'unknown';
  const punctured = layers.filter(({ breaches }) => breaches.some(mayBePuncture));
  if (punctured.length === 0) {
    return seen.sharpsInjury === 'no' || (beforeThePatient && fluid === 'unknown') ? 'no' : 'unknown';
  }
  const stopped = punctured.every(({ layer }) =>
    layer.zones.every((zone) => {
      const over = reaches.find((reach) => reach.zone === zone)?.layers ?? [];
      const inside = over.slice(over.findIndex((candidate) => candidate.layer.id === layer.id) + 1);
      return inside.some(({ state }) => state === 'intact');
    }),
  );
  // A layer under a puncture is intact here only if there was no sharps injury (`layersOver`).
  return stopped ? 'no' : 'unknown';
}

/** The layers whose failing lets the room's air in, whether or not anything was wet. */
export function respiratoryLayers(reaches: readonly ZoneReach[]): readonly LayerAtTheTime[] {
  const airway = reaches.find(({ zone }) => zone === 'mouthNose')?.layers ?? [];
  return airway.filter(({ layer }) => layer.protections.includes('respiratory'));
}

function inhalationRoute(respiratory: readonly LayerAtTheTime[], happening: Happening): Ternary {
  const breached = respiratory.some(({ breaches }) => breaches.length > 0);
  const open = openness(respiratory);
  if (happening.stage === 'donning') return allOf([open, atMostUnknown(soiling(happening, breached))]);
  return breached ? open : atMostUnknown(open);
}

/** Something wet or soiled came through a garment and no further. */
function clothingOnlyRoute(layers: readonly LayerAtTheTime[], happening: Happening, body: Ternary): Ternary {
  if (body === 'yes') return 'no';
  const through = anyOf(
    layers
      .filter(({ layer }) => layer.zones.some((zone) => GARMENT_ZONES.includes(zone)))
      .map(({ state, breaches }) => {
        const failed = breaches.length > 0;
        const letThrough: Ternary = failed ? 'yes' : state === 'intact' ? 'no' : 'unknown';
        return allOf([letThrough, soiling(happening, failed)]);
      }),
  );
  return body === 'unknown' ? atMostUnknown(through) : through;
}
