import type { LocalDate, TimeZone } from '../calendar/instant.js';
import { addDays, dayOfWeek, daysBetween, endOfDay, nextExistingDate, startOfDay } from '../calendar/local-date.js';
import type { Evidence, Source } from '../decision/evidence.js';
import { checkKey } from './check-keys.js';
import { COMMON_PRACTICE } from './common-practice.js';
import type { PlannedCheck } from './plan.js';

const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];

/** The first source of a statement, as a check names only one. */
export function sourceOf({ sources }: Evidence): Source {
  return sources[0] ?? (COMMON_PRACTICE.sources[0] as Source);
}

interface Window {
  readonly dayZero: LocalDate;
  readonly lastDay: LocalDate;
  readonly timeZone: TimeZone;
  readonly profile: string;
}

/** An offer of support, until the end of the day after: nobody misses it for having slept. */
export function supportOn(ordinal: 1 | 2 | 3, date: LocalDate, { timeZone, profile }: Window): PlannedCheck {
  return {
    key: checkKey.support(ordinal),
    kind: 'support',
    profile,
    localDate: date,
    slot: null,
    ordinal,
    dueFrom: startOfDay(date, timeZone),
    dueUntil: endOfDay(addDays(date, 1), timeZone),
    label: 'Offer support and somebody to talk to',
    source: sourceOf(COMMON_PRACTICE),
    grade: COMMON_PRACTICE.grade,
  };
}

/** The offer midway, or none where the window is too short to have a middle. */
export function supportMidway(window: Window): PlannedCheck | null {
  const days = daysBetween(window.dayZero, window.lastDay);
  if (days < 2) return null;
  return supportOn(2, nextExistingDate(addDays(window.dayZero, Math.floor(days / 2)), window.timeZone), window);
}

/**
 * The release, on the day after the window, and before it the reminder that somebody must be there to sign: on the last
 * working day (Monday to Friday) before, so that nobody stays excluded over a weekend.
 */
export function releaseChecks(window: Window, evidence: Evidence): readonly PlannedCheck[] {
  const { dayZero, lastDay, timeZone, profile } = window;
  const releaseDay = nextExistingDate(addDays(lastDay, 1), timeZone);
  let warningDay = addDays(releaseDay, -1);
  while (dayOfWeek(warningDay) > 5) warningDay = addDays(warningDay, -1);
  if (warningDay < dayZero) warningDay = dayZero;
  return [
    {
      key: checkKey.review(2),
      kind: 'review',
      profile,
      localDate: warningDay,
      slot: null,
      ordinal: 2,
      dueFrom: startOfDay(warningDay, timeZone),
      dueUntil: endOfDay(lastDay, timeZone),
      label: `Release is due on ${WEEKDAYS[dayOfWeek(releaseDay) - 1]} ${releaseDay}: agree who will sign it that day`,
      source: sourceOf(COMMON_PRACTICE),
      grade: COMMON_PRACTICE.grade,
    },
    {
      key: checkKey.release(),
      kind: 'release',
      profile,
      localDate: releaseDay,
      slot: null,
      ordinal: 1,
      dueFrom: endOfDay(lastDay, timeZone),
      dueUntil: endOfDay(releaseDay, timeZone),
      label: 'Release, to be signed by occupational health',
      source: sourceOf(evidence),
      grade: evidence.grade,
    },
  ];
}
