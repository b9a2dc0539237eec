import { momentOf } from '../calendar/moment.js';
import type { PlannedCheck } from './plan.js';

/** By the moment something falls due, whatever the offsets; equal moments by their identity. */
export function inOrderOfDueTime(checks: readonly PlannedCheck[]): readonly PlannedCheck[] {
  return checks
    .map((check) => ({
      check,
      from: momentOf(check.dueFrom).milliseconds,
      until: momentOf(check.dueUntil).milliseconds,
    }))
    .sort(
      (a, b) =>
        a.from - b.from || a.until - b.until || (a.check.key < b.check.key ? -1 : a.check.key > b.check.key ? 1 : 0),
    )
    .map(({ check }) => check);
}
