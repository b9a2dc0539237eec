import {
  EXTENTS,
  MANNERS,
  MEASUREMENT_SITES,
  STAGES,
  ZONES,
  type Extent,
  type Manner,
  type MeasurementSite,
  type Stage,
  type Zone,
} from '#domain';
import { ALERT_OUTCOMES, type AlertOutcome } from '../records/followup.js';
import {
  CERTAINTIES,
  FIRST_AID_ACTIONS,
  FLUIDS,
  LAPSES,
  TASKS,
  type Certainty,
  type FirstAidAction,
  type Fluid,
  type Lapse,
  type Task,
} from '../records/incident.js';

/** A code with the words that a form shows for it. */
export interface Worded<Code extends string = string> {
  readonly code: Code;
  readonly words: string;
}

const TASK_WORDS: Readonly<Record<Task, string>> = {
  'personal-care': 'Washing or personal care',
  'turning-or-lifting': 'Turning or lifting the patient',
  'blood-sampling': 'Taking blood',
  cannulation: 'Placing a line',
  'airway-procedure': 'A procedure at the airway',
  'wound-care': 'Wound care',
  'cleaning-spill': 'Cleaning up a spill',
  'waste-or-linen': 'Waste or linen',
  'specimen-handling': 'Handling a specimen',
  'after-death-care': 'Care after death',
  other: 'Something else',
  'not-known': 'Not known',
};

const FLUID_WORDS: Readonly<Record<Fluid, string>> = {
  none: 'None',
  blood: 'Blood',
  vomit: 'Vomit',
  faeces: 'Faeces',
  urine: 'Urine',
  'saliva-or-sputum': 'Saliva or sputum',
  sweat: 'Sweat',
  'amniotic-or-birth-fluid': 'Amniotic or birth fluid',
  'other-body-fluid': 'Another body fluid',
  'disinfectant-only': 'Disinfectant only',
  unknown: 'Not known',
};

const LAPSE_WORDS: Readonly<Record<Lapse, string>> = {
  'face-touched': 'The face was touched',
  'order-changed': 'The steps were done in another order',
  'step-missed': 'A step was missed',
  'soiled-surface-touched': 'A soiled surface was touched',
};

const FIRST_AID_WORDS: Readonly<Record<FirstAidAction, string>> = {
  'washed-soap-and-water': 'Washed with soap and water',
  'irrigated-eyes': 'Rinsed the eyes',
  'rinsed-mouth-or-nose': 'Rinsed the mouth or nose',
  'covered-wound': 'Covered the wound',
  'changed-clothing': 'Changed clothing',
  'none-yet': 'Nothing yet',
};

const STAGE_WORDS: Readonly<Record<Stage, string>> = {
  donning: 'While putting on',
  'patient-care': 'With the patient',
  removal: 'While taking off',
  'after-removal': 'After everything was off',
};

const EXTENT_WORDS: Readonly<Record<Extent, string>> = {
  partial: 'Partly: it still covered',
  total: 'Fully: it was open or off',
};

const MANNER_WORDS: Readonly<Record<Manner, string>> = {
  tear: 'Torn',
  displacement: 'Slipped or out of place',
  'wetting-through': 'Wet through',
  'seal-loss': 'Lost its seal',
  missing: 'Not put on',
  puncture: 'Punctured by something sharp',
};

const ZONE_WORDS: Readonly<Record<Zone, string>> = {
  hands: 'Hands',
  forearms: 'Forearms',
  trunk: 'Chest, belly or back',
  legs: 'Legs',
  feet: 'Feet',
  neck: 'Neck',
  head: 'Head and hair',
  face: 'Face',
  eyes: 'Eyes',
  mouthNose: 'Mouth and nose',
};

const CERTAINTY_WORDS: Readonly<Record<Certainty, string>> = {
  confirmed: 'Confirmed by a laboratory',
  suspected: 'Suspected',
  unknown: 'Not known',
};

const MEASUREMENT_SITE_WORDS: Readonly<Record<MeasurementSite, string>> = {
  ear: 'Ear',
  mouth: 'Mouth',
  forehead: 'Forehead',
  armpit: 'Armpit',
  rectum: 'Rectum',
  'not-known': 'Not known',
};

const OUTCOME_WORDS: Readonly<Record<AlertOutcome, string>> = {
  'spoken-to-well': 'Spoken to: well',
  'spoken-to-sent-for-assessment': 'Spoken to: sent for assessment',
  'reading-obtained': 'The reading was obtained',
  'not-reached': 'Not reached',
  'entered-in-error': 'Entered in error',
};

function worded<Code extends string>(
  codes: readonly Code[],
  words: Readonly<Record<Code, string>>,
): readonly Worded<Code>[] {
  return codes.map((code) => ({ code, words: words[code] }));
}

/** Every closed list of the forms with its words, in the order in which it is shown. */
export const FORM_WORDS = {
  tasks: worded(TASKS, TASK_WORDS),
  fluids: worded(FLUIDS, FLUID_WORDS),
  lapses: worded(LAPSES, LAPSE_WORDS),
  firstAidActions: worded(FIRST_AID_ACTIONS, FIRST_AID_WORDS),
  stages: worded(STAGES, STAGE_WORDS),
  extents: worded(EXTENTS, EXTENT_WORDS),
  manners: worded(MANNERS, MANNER_WORDS),
  zones: worded(ZONES, ZONE_WORDS),
  certainties: worded(CERTAINTIES, CERTAINTY_WORDS),
  measurementSites: worded(MEASUREMENT_SITES, MEASUREMENT_SITE_WORDS),
  alertOutcomes: worded(ALERT_OUTCOMES, OUTCOME_WORDS),
} as const;
