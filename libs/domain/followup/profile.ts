import type { Evidence } from '../decision/evidence.js';
import type { Decimal } from '../decision/table.js';

/** Who takes and who asks for the readings, least watched first. */
export const REGIMES = ['none', 'passive', 'self', 'self-supervised', 'active', 'direct-active'] as const;
export type Regime = (typeof REGIMES)[number];

/** UCUM codes, the two of the HL7 value set for body temperature. */
export type TemperatureUnit = 'Cel' | '[degF]';

/** What work is permitted, by function and without a clinical word: all that a manager sees. */
export const PERMITTED_WORK = [
  'all',
  'no-patient-contact',
  'not-on-site',
  'remote-only',
  'not-rostered-until-decided',
] as const;
/** Mildest first; the strictest of several holds. */
export type PermittedWork = (typeof PERMITTED_WORK)[number];

export interface Threshold extends Evidence {
  readonly value: Decimal;
  readonly unit: TemperatureUnit;
  readonly operator: '>=' | '>';
  /** How many successive readings over the threshold make a fever. */
  readonly readings: 1 | 2;
  readonly feltFeverCounts: boolean;
}

export interface Symptom extends Evidence {
  readonly code: string;
  readonly words: string;
}

export interface Restriction extends Evidence {
  readonly code: string;
  readonly words: string;
  readonly work: PermittedWork;
}

export interface PlannedTest extends Evidence {
  readonly code: string;
  readonly words: string;
  readonly day: number;
  readonly toleranceDays: number;
}

/** A time limit for starting prophylaxis, counted in hours from the exposure instant. It is put to a prescriber, never ordered. */
export interface ProphylaxisLimit extends Evidence {
  readonly code: string;
  readonly words: string;
  readonly withinHours: number;
}

export interface CategoryPlan extends Evidence {
  readonly regime: Regime;
  readonly readingsPerDay: 0 | 1 | 2;
  /** Contacts that the authority or occupational health makes each day. */
  readonly contactsPerDay: 0 | 1 | 2;
  /** False where the authority asks for nothing: the plan holds only the review that says so. */
  readonly followUp: boolean;
  readonly restrictions: readonly Restriction[];
}

/** One agent by one authority, at one version. */
export interface AgentProfile {
  /** `<agent>/<authority>@<version>`. */
  readonly id: string;
  readonly agent: string;
  readonly agentName: string;
  readonly authority: string;
  readonly version: string;
  readonly title: string;
  readonly validFrom: string;
  readonly supersededBy?: string;
  /** The table whose categories this profile plans for; null where the rulebook has none yet. */
  readonly table: string | null;
  readonly window: Evidence & {
    readonly days: number;
    /** Which exposure day 0 is, when there were several. */
    readonly from: 'first-exposure' | 'last-exposure';
  };
  readonly threshold: Threshold;
  readonly symptoms: readonly Symptom[];
  readonly tests: readonly PlannedTest[];
  readonly prophylaxis: readonly ProphylaxisLimit[];
  /** By the category id of `table`; `exposed` where there is no table. */
  readonly categories: Readonly<Record<string, CategoryPlan>>;
  /** The category that is assumed while nothing is known; also used for `not classified`. */
  readonly strictest: string;
  readonly cautions: readonly string[];
}
