import { Temporal } from 'temporal-polyfill';
import { DomainError } from '../refusal.js';
import type { Instant, LocalDate, TimeZone } from './instant.js';
import { momentOf, zonedText } from './moment.js';

/** The text is no civil date. */
export class UnreadableDate extends DomainError {
  constructor(pointer = '/date', cause?: unknown) {
    super('unreadable-date', 'The date is not a calendar date.', {
      pointer,
      accepted: 'a date as YYYY-MM-DD, for example 2026-10-20',
      cause,
    });
  }
}

function civil(date: LocalDate, pointer?: string): Temporal.PlainDate {
  if (typeof date !== 'string' || !/^\d{4}-\d{2}-\d{2}$/.test(date)) throw new UnreadableDate(pointer);
  try {
    return Temporal.PlainDate.from(date);
  } catch (cause) {
    throw new UnreadableDate(pointer, cause);
  }
}

/** The date itself, or `UnreadableDate`. */
export function requireLocalDate(text: string, pointer?: string): LocalDate {
  return civil(text, pointer).toString();
}

/** The date on the wall in that zone at that moment. */
export function localDateOf(instant: Instant, timeZone: TimeZone): LocalDate {
  return momentOf(instant).toZonedDateTimeISO(timeZone).toPlainDate().toString();
}

/** Calendar days, never multiples of 24 hours. */
export function addDays(date: LocalDate, days: number): LocalDate {
  return civil(date).add({ days }).toString();
}

/** Positive when `to` is the later date. */
export function daysBetween(from: LocalDate, to: LocalDate): number {
  return civil(from).until(civil(to), { largestUnit: 'day' }).days;
}

/** 1 is Monday, 7 is Sunday. */
export function dayOfWeek(date: LocalDate): number {
  return civil(date).dayOfWeek;
}

/** The first moment of the date; midnight where midnight exists. A date that a zone skipped begins when the next one does. */
export function startOfDay(date: LocalDate, timeZone: TimeZone): Instant {
  return zonedText(civil(date).toZonedDateTime(timeZone));
}

/** The first moment after the date: the end is open, so that two days never share one. */
export function endOfDay(date: LocalDate, timeZone: TimeZone): Instant {
  return startOfDay(addDays(date, 1), timeZone);
}

/** False only for a date that the zone skipped when it crossed the date line: Pacific/Apia had no 30 December 2011. */
export function dateExists(date: LocalDate, timeZone: TimeZone): boolean {
  return civil(date).toZonedDateTime(timeZone).toPlainDate().toString() === date;
}

/** The date itself, or the first one after it that the zone did not skip. */
export function nextExistingDate(date: LocalDate, timeZone: TimeZone): LocalDate {
  return civil(date).toZonedDateTime(timeZone).toPlainDate().toString();
}

/** Days after today until `lastDay`, by dates on the wall and never by hours; 0 on the last day and after it. */
export function daysRemaining(lastDay: LocalDate, timeZone: TimeZone, at: Instant): number {
  return Math.max(0, daysBetween(localDateOf(at, timeZone), lastDay));
}
