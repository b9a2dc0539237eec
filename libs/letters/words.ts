import type { EvidenceGrade, Extent, LayerState, Level, Manner, Route, Stage, Ternary, Zone } from '#domain';
import type { Certainty, FirstAidAction, Fluid, IncidentKind, Lapse, Task } from '#application';

/*
 * The words that a letter uses for coded answers. They stand here and not beside the codes because a letter outlives a
 * screen: changing a screen's wording must not change a letter's.
 */

export const KIND_WORDS: Readonly<Record<IncidentKind, string>> = {
  breach: 'A layer failed',
  lapse: 'A lapse, no layer known to have failed',
  'near-miss': 'A near miss, caught before any exposure',
};

export const STAGE_WORDS: Readonly<Record<Stage, string>> = {
  donning: 'while putting on',
  'patient-care': 'during patient care',
  removal: 'during removal',
  'after-removal': 'after removal',
};

export const EXTENT_WORDS: Readonly<Record<Extent | 'unknown', string>> = {
  partial: 'partial',
  total: 'total',
  unknown: 'not known, taken as total',
};

export const MANNER_WORDS: Readonly<Record<Manner | 'unknown', string>> = {
  tear: 'tear',
  displacement: 'displaced',
  'wetting-through': 'wetted through',
  'seal-loss': 'lost its seal',
  missing: 'missing',
  puncture: 'punctured',
  unknown: 'not known',
};

export const LAPSE_WORDS: Readonly<Record<Lapse, string>> = {
  'face-touched': 'the face was touched',
  'order-changed': 'the order of removal was changed',
  'step-missed': 'a step was missed',
  'soiled-surface-touched': 'a soiled surface was touched',
};

export const TASK_WORDS: Readonly<Record<Task, string>> = {
  'personal-care': 'personal care',
  'turning-or-lifting': 'turning or lifting',
  'blood-sampling': 'taking blood',
  cannulation: 'placing a cannula',
  'airway-procedure': 'a procedure on the airway',
  'wound-care': 'wound care',
  'cleaning-spill': 'cleaning a spill',
  'waste-or-linen': 'waste or linen',
  'specimen-handling': 'handling specimens',
  'after-death-care': 'care after death',
  other: 'another task',
  'not-known': 'not known',
};

export const FLUID_WORDS: Readonly<Record<Fluid, string>> = {
  none: 'none',
  blood: 'blood',
  vomit: 'vomit',
  faeces: 'faeces',
  urine: 'urine',
  'saliva-or-sputum': 'saliva or sputum',
  sweat: 'sweat',
  'amniotic-or-birth-fluid': 'amniotic or birth fluid',
  'other-body-fluid': 'another body fluid',
  'disinfectant-only': 'disinfectant only',
  unknown: 'not known',
};

export const FIRST_AID_WORDS: Readonly<Record<FirstAidAction, string>> = {
  'washed-soap-and-water': 'Washed with soap and water',
  'irrigated-eyes': 'Eyes irrigated',
  'rinsed-mouth-or-nose': 'Mouth or nose rinsed',
  'covered-wound': 'Wound covered',
  'changed-clothing': 'Clothing changed',
  'none-yet': 'None yet when reported',
};

export const CERTAINTY_WORDS: Readonly<Record<Certainty, string>> = {
  confirmed: 'confirmed',
  suspected: 'suspected',
  unknown: 'not known whether confirmed',
};

export const TERNARY_WORDS: Readonly<Record<Ternary, string>> = {
  yes: 'yes',
  no: 'no',
  unknown: 'not known',
};

export const ZONE_WORDS: Readonly<Record<Zone, string>> = {
  hands: 'Hands',
  forearms: 'Forearms',
  trunk: 'Trunk',
  legs: 'Legs',
  feet: 'Feet',
  neck: 'Neck',
  head: 'Head',
  face: 'Face',
  eyes: 'Eyes',
  mouthNose: 'Mouth and nose',
};

export const ROUTE_WORDS: Readonly<Record<Route, string>> = {
  percutaneous: 'Through the skin, by a sharp or a cut',
  mucosaEye: 'Mucosa of the eye',
  mucosaMouthNose: 'Mucosa of mouth or nose',
  brokenSkin: 'Broken skin',
  intactSkin: 'Intact skin',
  inhalation: 'Inhalation',
  clothingOnly: 'Clothing only',
};

export const LAYER_STATE_WORDS: Readonly<Record<LayerState, string>> = {
  intact: 'intact',
  unknown: 'not known',
  partial: 'partial breach',
  total: 'total breach',
  off: 'already off',
  'not-on-yet': 'not on yet',
};

export const GRADE_WORDS: Readonly<Record<EvidenceGrade, string>> = {
  read: 'read in the issuer’s own text',
  'second-hand': 'second-hand, read in a reprint or a summary',
  derived: 'derived from a rule that was read',
  remembered: 'remembered, not yet looked up',
};

/** Definitions as the rulebook's regimes have them; a regime of another name is said as it came. */
const REGIME_WORDS: Readonly<Record<string, string>> = {
  none: 'No monitoring',
  passive: 'Passive: the person reports if something is wrong',
  self: 'Self-monitoring',
  'self-supervised': 'Self-monitoring, supervised by occupational health',
  active: 'Active: the person is contacted',
  'direct-active': 'Direct active: the person is seen or spoken to at the reading',
};

export function regimeWords(regime: string): string {
  return REGIME_WORDS[regime] ?? regime;
}

const LEVEL_NAMES = ['none', 'low', 'moderate', 'high'] as const;

/** Our own order beside the authority's words; it is for sorting, and says so. */
export function levelWords(level: Level | null): string {
  if (level === null) return 'No level: this authority did not classify the combination, so a person must decide.';
  return `Level ${level} of 3 (${LEVEL_NAMES[level]}), in the order that is used for sorting only.`;
}

/** `aerosolProcedure` as `Aerosol procedure`, for a fact whose question the letter was not given. */
export function factWords(fact: string): string {
  const words = fact
    .replace(/([a-z0-9])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[-_]/g, ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** `not-classified` or `not classified`: an answer's code as plain words. */
export function answerWords(answer: string): string {
  return answer === 'unknown' ? 'not known' : answer.replace(/-/g, ' ');
}
