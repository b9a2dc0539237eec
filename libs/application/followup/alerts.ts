import { v7 } from 'uuid';
import type { Instant } from '#domain';
import type { Transaction } from '../ports/unit-of-work.js';
import type { AlertKind, AlertRecord, OutboxMessage } from '../records/followup.js';
import type { SiteRecord } from '../records/people.js';

/** Kinds after which somebody may be ill: nobody is rostered or released while one is open. */
export const ILLNESS_ALERTS: ReadonlySet<AlertKind> = new Set<AlertKind>(['fever', 'symptom']);

/** Most urgent first. */
export const ALERT_URGENCY: readonly AlertKind[] = [
  'fever',
  'symptom',
  'prophylaxis-deadline',
  'call-back',
  'implausible-entry',
  'missed-reading',
  'check-overdue',
  'release-due',
];

export interface AlertDraft {
  /** Unique within the site: whatever raises it twice means the same alert. */
  readonly alertKey: string;
  readonly kind: AlertKind;
  readonly personId: string;
  readonly incidentId: string;
  readonly planId?: string | null;
  readonly checkKey?: string | null;
  /** Plain sentences for the nurse. */
  readonly reasons: readonly string[];
}

export function newAlert(draft: AlertDraft, now: Instant): AlertRecord {
  return {
    alertId: v7(),
    alertKey: draft.alertKey,
    kind: draft.kind,
    personId: draft.personId,
    incidentId: draft.incidentId,
    planId: draft.planId ?? null,
    checkKey: draft.checkKey ?? null,
    reasons: draft.reasons,
    raisedAt: now,
    acknowledgedBy: null,
    acknowledgedAt: null,
    pausedUntil: null,
    outcome: null,
    closedBy: null,
    closedAt: null,
  };
}

/** The key of the alert about one check: plan and slot, so that report and sweeper raise it once. */
export function checkAlertKey(planId: string, checkKey: string): string {
  return `${planId}/${checkKey}/1`;
}

/**
 * The mail about an alert. Subject and text are the same for every kind, so that neither a mailbox nor a lock screen tells
 * that, or how, somebody is ill.
 */
export function noticeOf(alert: AlertRecord, site: SiteRecord): OutboxMessage {
  return {
    messageId: v7(),
    siteId: site.siteId,
    alertId: alert.alertId,
    recipient: site.settings.occupationalHealth.email,
    subject: 'Innerglove: an entry waits for you',
    text: `An entry waits for occupational health.\n\nSign in to read it: /alerts/${alert.alertId}\n`,
    attempts: 0,
  };
}

/** Raises an alert and its mail in the running transaction; false when the same one was raised before. */
export async function raiseAlert(tx: Transaction, alert: AlertRecord, site: SiteRecord): Promise<boolean> {
  if (!(await tx.alerts.raise(alert))) return false;
  await tx.outbox.insert(noticeOf(alert, site));
  return true;
}
