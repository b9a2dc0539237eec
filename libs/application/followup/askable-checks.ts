import { compareInstants, type CheckKind, type FollowUpPlan, type Instant } from '#domain';
import type { CheckRecord } from '../records/followup.js';

/** Each of these is about one part of one day; what was not asked then cannot be answered now. */
const OF_THEIR_MOMENT: ReadonlySet<CheckKind> = new Set<CheckKind>(['reading', 'contact']);

/** The checks that somebody has been asked for: a slot among them that is over was missed, not left out. */
export function askedKeys(checks: readonly CheckRecord[]): ReadonlySet<string> {
  return new Set(checks.filter(({ state }) => state !== 'withdrawn').map(({ key }) => key));
}

/**
 * The plan without the readings and contacts that were over before anybody asked for them, so that an incident which is
 * entered ten days late is not ten days of missed readings. Time limits, tests, reviews and the release stay, however late.
 */
export function withoutUnaskable(plan: FollowUpPlan, now: Instant, asked: ReadonlySet<string>): FollowUpPlan {
  const checks = plan.checks.filter(
    ({ kind, key, dueUntil }) => !OF_THEIR_MOMENT.has(kind) || asked.has(key) || compareInstants(dueUntil, now) > 0,
  );
  return checks.length === plan.checks.length ? plan : { ...plan, checks };
}
