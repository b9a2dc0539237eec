import type { LayerState, PermittedWork, Ternary, Worded } from './api.js';

/** Plain words for the codes of the contract. Words that a site or an authority owns come from the server instead. */
export type WordsFor<Code extends string> = Readonly<Record<Code, string>>;

export const LAYER_STATE_WORDS: WordsFor<LayerState> = {
  intact: 'whole',
  unknown: 'not looked at',
  partial: 'partly breached',
  total: 'fully breached',
  off: 'already taken off',
  'not-on-yet': 'not yet put on',
};

export const REACHED_WORDS: WordsFor<Ternary> = {
  yes: 'what was outside could have reached here',
  no: 'nothing outside could have reached here',
  unknown: 'not known whether anything reached here',
};

export const WORK_WORDS: WordsFor<PermittedWork> = {
  all: 'All work',
  'no-patient-contact': 'Work without patient contact',
  'not-on-site': 'Not on site',
  'remote-only': 'Remote work only',
  'not-rostered-until-decided': 'Not to be rostered until occupational health has decided',
};

export const ROUTE_WORDS: Readonly<Record<string, string>> = {
  percutaneous: 'Through the skin (a sharp)',
  mucosaEye: 'Eye',
  mucosaMouthNose: 'Mouth or nose',
  brokenSkin: 'Broken skin',
  intactSkin: 'Whole skin',
  inhalation: 'Breathed in',
  clothingOnly: 'Clothing only',
};

export const GRADE_WORDS: Readonly<Record<string, string>> = {
  read: 'read in the issuer’s own text',
  'second-hand': 'from a reprint or summary',
  derived: 'worked out from a rule that was read',
  remembered: 'from memory, not looked up yet',
};

export const INCIDENT_STATE_WORDS: Readonly<Record<string, string>> = {
  open: 'waits for a decision',
  determined: 'decided, follow-up running',
  released: 'released',
};

export const INCIDENT_KIND_WORDS: Readonly<Record<string, string>> = {
  breach: 'A layer failed',
  lapse: 'A step went wrong',
  'near-miss': 'Caught in time',
};

export const ALERT_KIND_WORDS: Readonly<Record<string, string>> = {
  'call-back': 'Asked to be called',
  fever: 'Fever',
  symptom: 'Symptom',
  'implausible-entry': 'Entry to be checked by telephone',
  'missed-reading': 'Reading missing',
  'check-overdue': 'Check overdue',
  'prophylaxis-deadline': 'Prophylaxis deadline',
  'release-due': 'Release due',
};

export const TERNARY_WORDS: WordsFor<Ternary> = { yes: 'Yes', no: 'No', unknown: 'Not known' };

export const ROLE_WORDS: Readonly<Record<string, string>> = {
  wearer: 'Wearer',
  nurse: 'Occupational health nurse',
  'infection-control': 'Infection control',
  manager: 'Unit manager',
  administrator: 'Administrator',
};

export const CHECK_KIND_WORDS: Readonly<Record<string, string>> = {
  reading: 'Temperature reading',
  contact: 'Contact by occupational health',
  test: 'Test',
  prophylaxis: 'Prophylaxis decision',
  review: 'Review',
  support: 'Support offered',
  release: 'Release',
};

export const SOURCE_STATUS_WORDS: Readonly<Record<string, string>> = {
  suspected: 'suspected',
  confirmed: 'confirmed',
  'ruled-out': 'ruled out',
};

/** The level as text, never as a colour or a score; not classified is not a level. */
export function levelInWords(level: number | null): string {
  return level === null ? 'no level' : `level ${level} of 3`;
}

/** Words for a code, or the code itself with its hyphens opened, so that a new code is shown and never hidden. */
export function wordsFor(words: Readonly<Record<string, string>>, code: string | null | undefined): string {
  if (code === null || code === undefined || code === '') return 'not known';
  return words[code] ?? code.replaceAll('-', ' ');
}

/** The words that the service gives for a code of one of its form's lists; an unknown code is shown as it is. */
export function inWords(list: readonly Worded[], code: string | null | undefined): string {
  if (code === null || code === undefined || code === 'unknown') return 'not known';
  return list.find((each) => each.code === code)?.words ?? code.replaceAll('-', ' ');
}
