import type { EvidenceGrade, Source } from '../decision/evidence.js';
import type { Instant, LocalDate, TimeZone } from '../calendar/instant.js';
import type { PermittedWork, Regime, Threshold, Symptom } from './profile.js';

export const CHECK_KINDS = ['reading', 'contact', 'test', 'prophylaxis', 'review', 'support', 'release'] as const;
export type CheckKind = (typeof CHECK_KINDS)[number];
export type Slot = 'morning' | 'evening';

/** When the two readings of a day may be taken, local wall-clock `HH:MM`; set by the site. */
export interface ReadingBands {
  readonly morning: { readonly from: string; readonly until: string };
  readonly evening: { readonly from: string; readonly until: string };
}

/** One thing due. `key` is its identity within (site, person, episode) and survives recomputation. */
export interface PlannedCheck {
  readonly key: string;
  readonly kind: CheckKind;
  readonly profile: string;
  readonly localDate: LocalDate;
  readonly slot: Slot | null;
  readonly ordinal: number;
  /** RFC 3339 with the zone's offset at that moment. */
  readonly dueFrom: Instant;
  readonly dueUntil: Instant;
  readonly label: string;
  readonly source: Source;
  readonly grade: EvidenceGrade;
}

export interface PlannedRestriction {
  readonly code: string;
  readonly words: string;
  readonly work: PermittedWork;
  readonly profile: string;
  readonly from: LocalDate;
  readonly until: LocalDate;
  readonly source: Source;
  readonly grade: EvidenceGrade;
}

/** The schedule after an exposure. Day 0 is `dayZero`; the window and its restrictions end at the end of `lastDay`. */
export interface FollowUpPlan {
  readonly profiles: readonly string[];
  readonly category: string;
  readonly regime: Regime;
  readonly dayZero: LocalDate;
  readonly lastDay: LocalDate;
  readonly timeZone: TimeZone;
  readonly checks: readonly PlannedCheck[];
  readonly restrictions: readonly PlannedRestriction[];
  /** Every threshold that applies, with its profile; any one that is met is a fever. */
  readonly thresholds: readonly (Threshold & { readonly profile: string })[];
  readonly symptoms: readonly Symptom[];
  readonly cautions: readonly string[];
}

export interface PlanDifference {
  readonly added: readonly PlannedCheck[];
  /** Done checks are never here. */
  readonly removed: readonly PlannedCheck[];
  readonly moved: readonly { readonly from: PlannedCheck; readonly to: PlannedCheck }[];
  readonly unchanged: readonly PlannedCheck[];
  readonly restrictionsAdded: readonly PlannedRestriction[];
  readonly restrictionsRemoved: readonly PlannedRestriction[];
  /** True when nothing is removed, shortened or eased, so that it may take effect without a new determination. */
  readonly onlyTightens: boolean;
}
