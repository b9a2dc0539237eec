import type {
  CheckKind,
  FollowUpPlan,
  Instant,
  LocalDate,
  PermittedWork,
  PlannedCheck,
  Reading,
  ReadingJudgement,
} from '#domain';

export interface PlanRecord {
  readonly planId: string;
  readonly personId: string;
  readonly incidentId: string;
  readonly revision: number;
  /** Until a determination the plan follows the interim category. */
  readonly basis: 'interim' | 'determination';
  readonly determinationId: string | null;
  readonly state: 'running' | 'released';
  readonly plan: FollowUpPlan;
  readonly releasedAt: Instant | null;
}

export interface CheckRecord extends PlannedCheck {
  readonly planId: string;
  readonly state: 'due' | 'done' | 'withdrawn';
  readonly doneAt: Instant | null;
  readonly readingId: string | null;
}

export interface ReadingRecord extends Reading {
  readonly readingId: string;
  readonly planId: string;
  readonly personId: string;
  readonly checkKey: string | null;
  readonly enteredBy: string | null;
  readonly enteredAt: Instant;
  readonly confirmedImplausible: boolean;
  readonly judgement: ReadingJudgement;
}

export const ALERT_KINDS = [
  'call-back',
  'fever',
  'symptom',
  'implausible-entry',
  'missed-reading',
  'check-overdue',
  'prophylaxis-deadline',
  'release-due',
] as const;
export type AlertKind = (typeof ALERT_KINDS)[number];

export const ALERT_OUTCOMES = [
  'spoken-to-well',
  'spoken-to-sent-for-assessment',
  'reading-obtained',
  'not-reached',
  'entered-in-error',
] as const;
export type AlertOutcome = (typeof ALERT_OUTCOMES)[number];

export interface AlertRecord {
  readonly alertId: string;
  /** Unique within the site: plan, slot and step, so that two workers raise it once. */
  readonly alertKey: string;
  readonly kind: AlertKind;
  readonly personId: string;
  readonly incidentId: string;
  readonly planId: string | null;
  readonly checkKey: string | null;
  readonly reasons: readonly string[];
  readonly raisedAt: Instant;
  readonly acknowledgedBy: string | null;
  readonly acknowledgedAt: Instant | null;
  readonly pausedUntil: Instant | null;
  readonly outcome: AlertOutcome | null;
  readonly closedBy: string | null;
  readonly closedAt: Instant | null;
}

/** All that a manager sees. No category, agent, route or reason stands in this table. */
export interface DutyStatusRecord {
  readonly personId: string;
  readonly rosterRef: string;
  readonly unitId: string;
  readonly work: PermittedWork;
  /** The last day of the status, once a nurse has set it. */
  readonly untilDate: LocalDate | null;
  /** When it is looked at again, until then. */
  readonly nextReviewDate: LocalDate | null;
  readonly setBy: 'report' | 'nurse';
}

export interface LetterRecord {
  readonly letterId: string;
  readonly incidentId: string;
  readonly kind: 'referral';
  readonly revision: number;
  readonly contentHash: string;
  readonly paper: 'A4' | 'LETTER';
  readonly signedBy: string | null;
  readonly signedAt: Instant | null;
  readonly createdAt: Instant;
}

/** One thing due, as narrow as it can be: the sweeper reads these across sites and nothing else. */
export interface DueCheck {
  readonly siteId: string;
  readonly planId: string;
  readonly checkKey: string;
  readonly kind: CheckKind;
  readonly dueUntil: Instant;
}

export interface OutboxMessage {
  readonly messageId: string;
  readonly siteId: string;
  readonly alertId: string | null;
  readonly recipient: string;
  readonly subject: string;
  readonly text: string;
  readonly attempts: number;
}

export interface PpeUseRecord {
  readonly unitId: string;
  readonly localDate: LocalDate;
  readonly ensembleId: string;
  readonly uses: number;
}
