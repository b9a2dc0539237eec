import { stepIndexOf } from './consistency.js';
import type { Ensemble, Layer, Zone } from './ensemble.js';
import type { Breach, Happening, LayerState } from './happening.js';

/** One layer as it was when it happened. */
export interface LayerAtTheTime {
  readonly layer: Layer;
  readonly state: LayerState;
  readonly breaches: readonly Breach[];
}

/** Every layer of the ensemble as it was when it happened, outermost first. */
export function layersAtTheTime(ensemble: Ensemble, happening: Happening): readonly LayerAtTheTime[] {
  const foundWhole = new Set(happening.foundWhole);
  return ensemble.layers.map((layer) => {
    const breaches = happening.breaches.filter((breach) => breach.layer === layer.id);
    if (breaches.length > 0) return { layer, state: extentOf(breaches), breaches };
    const worn = wearing(ensemble, happening, layer);
    const state = worn === 'on' ? (foundWhole.has(layer.id) ? 'intact' : 'unknown') : worn;
    return { layer, state, breaches };
  });
}

/** An extent that nobody stated counts as the worse one. */
function extentOf(breaches: readonly Breach[]): LayerState {
  return breaches.every(({ extent }) => extent === 'partial') ? 'partial' : 'total';
}

/** `unknown` where nobody knows which step had been reached: the layer may have been off, even if it was whole. */
function wearing(ensemble: Ensemble, happening: Happening, { id }: Layer): 'on' | 'off' | 'not-on-yet' | 'unknown' {
  const { stage, step } = happening;
  if (stage === 'patient-care') return 'on';
  if (stage === 'after-removal') {
    // A failure that is found afterwards arose while the ensemble was worn; anything else met a wearer without it.
    return happening.breaches.length > 0 ? 'on' : 'off';
  }
  const sequence = stage === 'removal' ? ensemble.removal : ensemble.donning;
  const turn = stepIndexOf(sequence, id);
  if (turn < 0) return 'on';
  if (step === null) return 'unknown';
  const reached = sequence.findIndex((candidate) => candidate.id === step);
  // A layer that is going on or coming off during the step protects nothing.
  if (stage === 'removal') return turn <= reached ? 'off' : 'on';
  return turn < reached ? 'on' : 'not-on-yet';
}

/** A failure whose manner nobody stated may have been a sharp. */
export const mayBePuncture = ({ manner }: Breach) => manner === 'puncture' || manner === 'unknown';

/**
 * The layers over one zone, outermost first. A puncture leaves nothing inside it intact by inference: a hole of a
 * needle is not seen by looking, so a layer under it counts as intact only if it was found whole and there was no
 * sharps injury.
 */
export function layersOver(
  zone: Zone,
  layers: readonly LayerAtTheTime[],
  { seen }: Happening,
): readonly LayerAtTheTime[] {
  let underPuncture = false;
  return layers
    .filter(({ layer }) => layer.zones.includes(zone))
    .map((over) => {
      const doubted = underPuncture && over.state === 'intact' && seen.sharpsInjury !== 'no';
      underPuncture ||= over.breaches.some(mayBePuncture);
      return doubted ? { ...over, state: 'unknown' as const } : over;
    });
}
