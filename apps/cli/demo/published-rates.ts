import type { Task } from '#application';

/*
 * What published studies found, as far as it shapes the demo. The numbers are theirs; how they are used, and everything
 * under `ASSUMED`, is ours and stands in docs/demo.md. They shape invented rows and say nothing about any hospital.
 */

export const PUBLISHED = {
  /** Tomas and others, JAMA Intern Med 2015: contaminated removals of gloves (of 234) and of gowns (of 201). */
  gloveContamination: 0.529,
  gownContamination: 0.378,
  /** The same: contaminated where a lapse in technique was seen, and where none was. */
  contaminatedWithLapse: 0.703,
  contaminatedWithoutLapse: 0.3,
  /** Okamoto and others, ICHE 2019: health-care workers with several errors while taking off, in a real intensive care unit. */
  severalRemovalErrors: 0.392,
  /** UK high-level isolation staff: febrile within 21 days, 5 of 93. */
  febrile: 5 / 93,
  /** US monitoring of travellers and staff, 2014-15: 796 of 29,789 had symptoms. */
  symptomatic: 796 / 29_789,
  /** The same: more than 99 % of the follow-up was complete. */
  readingsMissed: 0.01,
} as const;

/** Ours, without a source. */
export const ASSUMED = {
  /** Of removals with several errors, so many come to a report. */
  reportedOfErrors: 0.03,
  kinds: { breach: 0.55, lapse: 0.25, 'near-miss': 0.2 },
  stages: { donning: 0.08, 'patient-care': 0.37, removal: 0.5, 'after-removal': 0.05 },
  twoPeople: 0.06,
  /** Which answers nobody could give at first. */
  unanswered: 0.12,
} as const;

/** Gloves and gowns by their contamination (Tomas); among gloves and among the rest by assumption. */
export const LAYER_WEIGHTS = {
  'outer-gloves': PUBLISHED.gloveContamination * 0.65,
  'inner-gloves': PUBLISHED.gloveContamination * 0.35,
  apron: PUBLISHED.gownContamination * 0.45,
  gown: PUBLISHED.gownContamination * 0.55,
  visor: 0.06,
  respirator: 0.04,
  hood: 0.04,
  'footwear-covers': 0.06,
} as const;

/** Mumma and others, CID 2019: hand hygiene, the outer garment and boot covers were the steps of greatest risk. */
export const STEP_WEIGHTS: Readonly<Record<string, number>> = {
  'take-off-outer-gloves': 1,
  'take-off-apron': 3,
  'take-off-gown': 3,
  'take-off-visor': 1,
  'take-off-respirator': 1,
  'take-off-hood': 1,
  'take-off-footwear-covers': 3,
  'take-off-inner-gloves': 1,
  'wash-hands': 3,
};

/** BMC Infect Dis 2013: dressing wounds and washing patients went with more perforated gloves. */
export const TASK_WEIGHTS: Readonly<Partial<Record<Task, number>>> = {
  'personal-care': 2,
  'wound-care': 2,
  'turning-or-lifting': 1,
  'blood-sampling': 1,
  cannulation: 1,
  'airway-procedure': 1,
  'cleaning-spill': 1,
  'waste-or-linen': 1,
  'specimen-handling': 1,
};
