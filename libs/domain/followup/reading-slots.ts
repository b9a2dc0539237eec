import type { Instant } from '../calendar/instant.js';
import { compareInstants, momentOf } from '../calendar/moment.js';
import type { FollowUpPlan, PlannedCheck } from './plan.js';

/** How far outside its band a reading still answers a slot: half of the eight hours between the default bands. */
export const SLOT_REACH_HOURS = 4;

function readingsOf({ checks }: Pick<FollowUpPlan, 'checks'>): readonly PlannedCheck[] {
  return checks.filter(({ kind }) => kind === 'reading').sort((a, b) => compareInstants(a.dueFrom, b.dueFrom));
}

/**
 * The reading check that a reading at this moment answers: the one whose band holds it, else the nearest one within four
 * hours, and of two equally near ones the earlier, which is the one that was missed. Null for a reading beside the plan.
 */
export function slotOf(plan: Pick<FollowUpPlan, 'checks'>, at: Instant): PlannedCheck | null {
  let nearest: { readonly check: PlannedCheck; readonly distance: number } | null = null;
  for (const check of readingsOf(plan)) {
    const distance = millisecondsOutside(check, at);
    if (distance <= SLOT_REACH_HOURS * 3_600_000 && (!nearest || distance < nearest.distance)) {
      nearest = { check, distance };
    }
  }
  return nearest?.check ?? null;
}

function millisecondsOutside({ dueFrom, dueUntil }: PlannedCheck, at: Instant): number {
  const moment = momentOf(at).milliseconds;
  return Math.max(0, momentOf(dueFrom).milliseconds - moment, moment - momentOf(dueUntil).milliseconds);
}

/** The next reading that is still to be taken: the earliest whose band has not ended and that is not done. */
export function nextReadingCheck(
  plan: Pick<FollowUpPlan, 'checks'>,
  at: Instant,
  doneKeys: ReadonlySet<string> = new Set(),
): PlannedCheck | null {
  return readingsOf(plan).find(({ key, dueUntil }) => !doneKeys.has(key) && compareInstants(dueUntil, at) > 0) ?? null;
}
