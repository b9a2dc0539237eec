import { CIVIL_DAY, civilDate, requireCivilDay } from './civil-day.js';
import type { Instant, LocalDate, TimeZone } from './instant.js';
import { momentOf } from './moment.js';
import { wallText, whenDayBegins } from './wall-clock.js';
import { stretchAt } from './zone-stretches.js';

/** The date itself, or `UnreadableDate`. */
export function requireLocalDate(text: string, pointer?: string): LocalDate {
  requireCivilDay(text, pointer);
  return text;
}

/** The date on the wall in that zone at that moment. */
export function localDateOf(instant: Instant, timeZone: TimeZone): LocalDate {
  const { milliseconds } = momentOf(instant);
  return civilDate(milliseconds + stretchAt(timeZone, milliseconds).offset);
}

/** Calendar days, never multiples of 24 hours. */
export function addDays(date: LocalDate, days: number): LocalDate {
  return civilDate(requireCivilDay(date) + days * CIVIL_DAY);
}

/** Positive when `to` is the later date. */
export function daysBetween(from: LocalDate, to: LocalDate): number {
  return (requireCivilDay(to) - requireCivilDay(from)) / CIVIL_DAY;
}

/** 1 is Monday, 7 is Sunday. */
export function dayOfWeek(date: LocalDate): number {
  return new Date(requireCivilDay(date)).getUTCDay() || 7;
}

/** The first moment of the date; midnight where midnight exists. A date that a zone skipped begins when the next one does. */
export function startOfDay(date: LocalDate, timeZone: TimeZone): Instant {
  return wallText(whenDayBegins(requireCivilDay(date), timeZone));
}

/** The first moment after the date: the end is open, so that two days never share one. */
export function endOfDay(date: LocalDate, timeZone: TimeZone): Instant {
  return startOfDay(addDays(date, 1), timeZone);
}

/** False only for a date that the zone skipped when it crossed the date line: Pacific/Apia had no 30 December 2011. */
export function dateExists(date: LocalDate, timeZone: TimeZone): boolean {
  return nextExistingDate(date, timeZone) === date;
}

/** The date itself, or the first one after it that the zone did not skip. */
export function nextExistingDate(date: LocalDate, timeZone: TimeZone): LocalDate {
  const day = requireCivilDay(date);
  const { milliseconds, offset } = whenDayBegins(day, timeZone);
  return milliseconds + offset === day ? date : civilDate(milliseconds + offset);
}

/** Days after today until `lastDay`, by dates on the wall and never by hours; 0 on the last day and after it. */
export function daysRemaining(lastDay: LocalDate, timeZone: TimeZone, at: Instant): number {
  return Math.max(0, daysBetween(localDateOf(at, timeZone), lastDay));
}
