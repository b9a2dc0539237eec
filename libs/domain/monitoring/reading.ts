import type { Instant } from '../calendar/instant.js';
import type { Decimal, Ternary } from '../decision/table.js';
import type { TemperatureUnit } from '../followup/profile.js';

export const MEASUREMENT_SITES = ['ear', 'mouth', 'forehead', 'armpit', 'rectum', 'not-known'] as const;
export type MeasurementSite = (typeof MEASUREMENT_SITES)[number];

export interface Reading {
  readonly at: Instant;
  /** As entered; null when only symptoms were answered. */
  readonly value: Decimal | null;
  readonly unit: TemperatureUnit;
  readonly measurementSite: MeasurementSite;
  readonly antipyreticTaken: Ternary;
  readonly feltFever: Ternary;
  /** Codes of the symptoms that are present. */
  readonly symptoms: readonly string[];
}

/** `refused` is outside what a thermometer can show; `implausible` is asked again and kept when confirmed. */
export type Plausibility = 'plausible' | 'implausible' | 'refused';

export interface ReadingJudgement {
  readonly alert: 'fever' | 'symptom' | 'implausible' | null;
  /** Which thresholds and symptoms were met, one plain sentence each. */
  readonly reasons: readonly string[];
  /** A reading below the threshold soon after an antipyretic counts as taken, not as reassuring. */
  readonly reassuring: boolean;
  readonly plausibility: Plausibility;
}
