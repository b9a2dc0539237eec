import { DomainError } from '../refusal.js';
import type { LocalDate } from './instant.js';

/** The text is no civil date. */
export class UnreadableDate extends DomainError {
  constructor(pointer = '/date') {
    super('unreadable-date', 'The date is not a calendar date.', {
      pointer,
      accepted: 'a date as YYYY-MM-DD, for example 2026-10-20',
    });
  }
}

/** Milliseconds in a civil day, which has no zone and therefore always 24 hours. */
export const CIVIL_DAY = 86_400_000;

const DATE = /^(\d{4})-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/;

/** The date as the moment at which it begins in UTC, in milliseconds since 1970, or `UnreadableDate`. */
export function requireCivilDay(date: LocalDate, pointer?: string): number {
  const match = typeof date === 'string' ? DATE.exec(date) : null;
  if (!match) throw new UnreadableDate(pointer);
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const milliseconds = daysSince1970(year, month, day) * CIVIL_DAY;
  // 30 February would be counted on into March; no month is too short for a 28th.
  if (day > 28 && civilDate(milliseconds) !== date) throw new UnreadableDate(pointer);
  return milliseconds;
}

/**
 * Gregorian days, counted in years that begin in March, so that the leap day is the last of its year and an era of 400
 * years always has 146,097 days. Exact for every year that four digits can name.
 */
function daysSince1970(year: number, month: number, day: number): number {
  const marchYear = month > 2 ? year : year - 1;
  const era = Math.floor(marchYear / 400);
  const yearOfEra = marchYear - era * 400;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - DAYS_TO_1970;
}

/** From 1 March of the year 0 to 1 January 1970. */
const DAYS_TO_1970 = 719_468;

/** The date that such a moment falls on. */
export function civilDate(milliseconds: number): LocalDate {
  const days = Math.floor(milliseconds / CIVIL_DAY) + DAYS_TO_1970;
  const era = Math.floor(days / 146_097);
  const dayOfEra = days - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36_524) - Math.floor(dayOfEra / 146_096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1;
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}`;
}

/** A number below 100 in two digits. */
export function two(value: number): string {
  return value < 10 ? `0${value}` : String(value);
}
