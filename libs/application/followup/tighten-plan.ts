import {
  differPlans,
  joinPlans,
  localDateOf,
  REGIMES,
  type FollowUpPlan,
  type Instant,
  type PlanDifference,
} from '#domain';
import type { CheckRecord, PlanRecord } from '../records/followup.js';

export interface Tightening {
  /** What a signature would change: from the plan as it is to the one for the new facts. */
  readonly difference: PlanDifference;
  /** The plan to run from now on; null when nothing is added to the one that runs. */
  readonly replacement: PlanRecord | null;
  /** A released follow-up that goes on, because its new window is not over. */
  readonly reopened: boolean;
}

export function doneKeys(checks: readonly CheckRecord[]): ReadonlySet<string> {
  return new Set(checks.filter(({ state }) => state === 'done').map(({ key }) => key));
}

/** Whether `next` asks for anything that `current` does not. */
function adds(current: FollowUpPlan, next: FollowUpPlan, { added, moved, restrictionsAdded }: PlanDifference): boolean {
  return (
    added.length > 0 ||
    moved.length > 0 ||
    restrictionsAdded.length > 0 ||
    next.lastDay > current.lastDay ||
    next.regime !== current.regime ||
    next.symptoms.length > current.symptoms.length ||
    next.thresholds.length > current.thresholds.length
  );
}

/** After the end of its last day a plan asks for nothing but its release. */
export function windowIsOver({ lastDay, timeZone }: FollowUpPlan, now: Instant): boolean {
  return localDateOf(now, timeZone) > lastDay;
}

/**
 * A release stands, unless the new plan asks for more than the released one did, within a window that is still open. The
 * checks do not tell: a release has withdrawn them.
 */
export function reopens(current: PlanRecord, next: FollowUpPlan, now: Instant): boolean {
  if (windowIsOver(next, now)) return false;
  const before = current.plan;
  return (
    next.lastDay > before.lastDay ||
    REGIMES.indexOf(next.regime) > REGIMES.indexOf(before.regime) ||
    next.profiles.some((profile) => !before.profiles.includes(profile)) ||
    differPlans(before, next, new Set()).restrictionsAdded.length > 0
  );
}

export function running(record: PlanRecord): PlanRecord {
  return { ...record, state: 'running', releasedAt: null };
}

/**
 * New facts may tighten a running plan at once; only a new determination loosens it. What the new facts would take away
 * stays until somebody signs, so the plan that runs on is the join of both. From then on it is interim again.
 */
export function tightenPlan(
  current: PlanRecord,
  next: FollowUpPlan,
  {
    checks,
    revision,
    now,
  }: { readonly checks: readonly CheckRecord[]; readonly revision: number; readonly now: Instant },
): Tightening {
  const done = doneKeys(checks);
  const difference = differPlans(current.plan, next, done);
  const interim: PlanRecord = { ...current, revision, basis: 'interim', determinationId: null };
  if (current.state === 'released') {
    const reopened = reopens(current, next, now);
    return { difference, replacement: reopened ? running({ ...interim, plan: next }) : null, reopened };
  }
  const plan = difference.onlyTightens ? next : joinPlans([current.plan, next]);
  if (!adds(current.plan, plan, differPlans(current.plan, plan, done))) {
    return { difference, replacement: null, reopened: false };
  }
  return { difference, replacement: { ...interim, plan }, reopened: false };
}
