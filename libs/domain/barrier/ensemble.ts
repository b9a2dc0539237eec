import type { Evidence } from '../decision/evidence.js';

/** Parts of the body that a layer can cover. */
export const ZONES = [
  'hands',
  'forearms',
  'trunk',
  'legs',
  'feet',
  'neck',
  'head',
  'face',
  'eyes',
  'mouthNose',
] as const;
export type Zone = (typeof ZONES)[number];

/** What a layer holds back. A `puncture-limited` layer slows a sharp but is never taken to have stopped one. */
export type Protection = 'splash' | 'respiratory' | 'puncture-limited';

export interface Layer {
  readonly id: string;
  readonly name: string;
  readonly zones: readonly Zone[];
  readonly protections: readonly Protection[];
  /** What the wearer or buddy looks for on this layer. */
  readonly checks: readonly string[];
}

/** One step of a sequence, as the buddy reads it aloud. */
export interface SequenceStep {
  readonly id: string;
  readonly words: string;
  readonly layers: readonly string[];
  readonly checks?: readonly string[];
}

/** What to do when a layer fails, as one readable instruction each. */
export interface BreachRules {
  readonly donning: Readonly<Record<string, string>>;
  readonly patientCare: readonly string[];
  readonly removal: readonly string[];
  readonly exceptions: Readonly<Record<string, readonly string[]>>;
  readonly emergencyRemoval: readonly string[];
}

export interface Ensemble extends Evidence {
  readonly id: string;
  readonly version: string;
  readonly name: string;
  readonly needsLocalConfirmation: boolean;
  /** Outermost first. */
  readonly layers: readonly Layer[];
  readonly donning: readonly SequenceStep[];
  readonly removal: readonly SequenceStep[];
  /** What the buddy wears, and what the buddy does. */
  readonly buddy: { readonly layers: readonly string[]; readonly duties: readonly string[] };
  readonly breachRules: BreachRules;
}
