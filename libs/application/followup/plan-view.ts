import type { CheckRecord, PlanRecord } from '../records/followup.js';
import type { FollowUpPlan, Instant, LocalDate, TimeZone } from '#domain';

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
