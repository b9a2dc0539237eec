import { daysRemaining, type FollowUpPlan, type Instant, type LocalDate, type TimeZone } from '#domain';
import type { CheckRecord, PlanRecord } from '../records/followup.js';

/** A plan as its wearer and occupational health see it. */
export interface PlanView {
  readonly planId: string;
  /** Null for a reader who may not know whose plan it is. */
  readonly personId: string | null;
  readonly incidentId: string;
  readonly state: PlanRecord['state'];
  readonly basis: PlanRecord['basis'];
  readonly category: string;
  readonly profiles: readonly string[];
  readonly regime: FollowUpPlan['regime'];
  readonly dayZero: LocalDate;
  readonly lastDay: LocalDate;
  readonly timeZone: TimeZone;
  readonly daysRemaining: number;
  readonly checks: readonly CheckRecord[];
  readonly restrictions: FollowUpPlan['restrictions'];
  readonly thresholds: FollowUpPlan['thresholds'];
  readonly symptoms: FollowUpPlan['symptoms'];
  readonly cautions: readonly string[];
  readonly releasedAt: Instant | null;
}

/** The checks of a plan that nobody has answered yet. */
export function checksDue(record: PlanRecord): CheckRecord[] {
  return record.plan.checks.map((check) => ({
    ...check,
    planId: record.planId,
    state: 'due',
    doneAt: null,
    readingId: null,
  }));
}

export function viewPlan(
  { plan, ...record }: PlanRecord,
  checks: readonly CheckRecord[],
  now: Instant,
  { identity }: { readonly identity: boolean },
): PlanView {
  return {
    planId: record.planId,
    personId: identity ? record.personId : null,
    incidentId: record.incidentId,
    state: record.state,
    basis: record.basis,
    category: plan.category,
    profiles: plan.profiles,
    regime: plan.regime,
    dayZero: plan.dayZero,
    lastDay: plan.lastDay,
    timeZone: plan.timeZone,
    daysRemaining: daysRemaining(plan.lastDay, plan.timeZone, now),
    checks,
    restrictions: plan.restrictions,
    thresholds: plan.thresholds,
    symptoms: plan.symptoms,
    cautions: plan.cautions,
    releasedAt: record.releasedAt,
  };
}
