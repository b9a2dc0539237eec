import type { Ensemble, Layer, Zone } from './ensemble.js';
import type { Happening, Seen } from './happening.js';

const layer = (id: string, name: string, zones: Zone[], protections: Layer['protections'] = ['splash']): Layer => ({
  id,
  name,
  zones,
  protections,
  checks: [],
});

const step = (id: string, ...layers: string[]) => ({ id, words: id, layers });

/** An ensemble for specs, shaped as the default one: two pairs of gloves, and eyes and airway uncovered before the end. */
export const ENSEMBLE: Ensemble = {
  id: 'specimen',
  version: '1',
  name: 'Specimen ensemble',
  needsLocalConfirmation: true,
  layers: [
    layer('outer-gloves', 'Outer gloves', ['hands'], ['splash', 'puncture-limited']),
    layer('visor', 'Visor', ['eyes', 'face']),
    layer('respirator', 'FFP3 respirator', ['mouthNose'], ['splash', 'respiratory']),
    layer('apron', 'Apron', ['trunk', 'forearms']),
    layer('gown', 'Gown', ['trunk', 'forearms', 'legs']),
    layer('hood', 'Hood', ['head', 'neck']),
    layer('footwear-covers', 'Footwear covers', ['feet']),
    layer('inner-gloves', 'Inner gloves', ['hands'], ['splash', 'puncture-limited']),
  ],
  donning: [
    step('put-on-footwear-covers', 'footwear-covers'),
    step('put-on-inner-gloves', 'inner-gloves'),
    step('put-on-hood', 'hood'),
    step('put-on-gown', 'gown'),
    step('put-on-apron', 'apron'),
    step('put-on-respirator', 'respirator'),
    step('put-on-visor', 'visor'),
    step('put-on-outer-gloves', 'outer-gloves'),
  ],
  removal: [
    step('take-off-outer-gloves', 'outer-gloves'),
    step('take-off-apron', 'apron'),
    step('take-off-gown', 'gown'),
    step('take-off-visor', 'visor'),
    step('take-off-respirator', 'respirator'),
    step('take-off-hood', 'hood'),
    step('take-off-footwear-covers', 'footwear-covers'),
    step('take-off-inner-gloves', 'inner-gloves'),
    step('wash-hands'),
  ],
  buddy: { layers: [], duties: [] },
  breachRules: { donning: {}, patientCare: [], removal: [], exceptions: {}, emergencyRemoval: [] },
  grade: 'remembered',
  sources: [{ body: 'Common practice', title: 'Specimen for tests', year: '2026' }],
};

/** Every layer of the ensemble. */
export const ALL_LAYERS = ENSEMBLE.layers.map(({ id }) => id);
/** Every layer but these, as found whole. */
export const allBut = (...layers: string[]) => ALL_LAYERS.filter((id) => !layers.includes(id));

/** Nothing to be seen on the body, and somebody looked. */
export const NOTHING_SEEN: Seen = {
  skinWet: 'no',
  skinCut: 'no',
  zones: [],
  eyeSplash: 'no',
  mouthNoseSplash: 'no',
  sharpsInjury: 'no',
  brokenSkinBefore: 'no',
};

/** Nobody has answered anything yet. */
export const NOBODY_LOOKED: Seen = {
  skinWet: 'unknown',
  skinCut: 'unknown',
  zones: [],
  eyeSplash: 'unknown',
  mouthNoseSplash: 'unknown',
  sharpsInjury: 'unknown',
  brokenSkinBefore: 'unknown',
};

/** Care with something wet about, nothing failed, everything found whole and nothing seen: every route is "no". */
export function aHappening(changes: Partial<Happening> = {}): Happening {
  return {
    stage: 'patient-care',
    step: null,
    breaches: [],
    foundWhole: ALL_LAYERS.filter((id) => !changes.breaches?.some((breach) => breach.layer === id)),
    fluid: 'yes',
    seen: NOTHING_SEEN,
    ...changes,
  };
}
