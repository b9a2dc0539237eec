import { requireConsistent } from './consistency.js';
import { ZONES, type Ensemble } from './ensemble.js';
import type { BarrierPicture, Happening } from './happening.js';
import { layersAtTheTime } from './layers-at-the-time.js';
import { reasonsFor } from './reasons.js';
import { routesOf } from './routes.js';
import { anyOf } from './ternary.js';
import { reachOf } from './zone-reach.js';

/**
 * Which layers were left between the source and the wearer when it happened, and what could therefore have been reached.
 * Throws `UnknownLayer`, `UnknownStep` or `ContradictoryFacts`, each with a JSON Pointer into the happening.
 *
 * @example deriveBarrier(ensemble, { stage: 'patient-care', breaches: [{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }],
 *   foundWhole: ['inner-gloves'], fluid: 'yes', ... }).routes.intactSkin // 'no' once the other layers were found whole too
 */
export function deriveBarrier(ensemble: Ensemble, happening: Happening): BarrierPicture {
  requireConsistent(ensemble, happening);
  const layers = layersAtTheTime(ensemble, happening);
  const reaches = ZONES.map((zone) => reachOf(zone, layers, happening));
  const routes = routesOf(reaches, layers, happening);
  return {
    ensemble: `${ensemble.id}@${ensemble.version}`,
    zones: reaches.map(({ zone, layers: over, contact }) => ({
      zone,
      layers: over.map(({ layer, state }) => ({ layer: layer.id, state })),
      reached: zone === 'mouthNose' ? anyOf([contact, routes.inhalation]) : contact,
    })),
    routes,
    reasons: reasonsFor(routes, reaches, layers, happening),
  };
}
