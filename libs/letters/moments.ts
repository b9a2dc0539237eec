import { Temporal } from 'temporal-polyfill';

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** `2026-11-25` as `25 November 2026`; the month in words, since day and month are read in either order. */
export function dateWords(date: string): string {
  const { day, month, year } = Temporal.PlainDate.from(date);
  return `${day} ${MONTHS[month - 1]} ${year}`;
}

/** The clock time at the place, with the zone's name and its distance from UTC at that moment. */
export function momentWords(instant: string, timeZone: string): string {
  const local = Temporal.Instant.from(instant).toZonedDateTimeISO(timeZone);
  const time = `${pad(local.hour)}:${pad(local.minute)}${local.second ? `:${pad(local.second)}` : ''}`;
  return `${dateWords(local.toPlainDate().toString())}, ${time} ${timeZone} (UTC${local.offset})`;
}

/** One moment, or the two ends of an interval. */
export function intervalWords(from: string, until: string, timeZone: string): string {
  if (Temporal.Instant.compare(from, until) === 0) return momentWords(from, timeZone);
  return `between ${momentWords(from, timeZone)} and ${momentWords(until, timeZone)}`;
}

/** The later of several instants. */
export function latestOf(instants: readonly string[]): Date {
  return new Date(Math.max(...instants.map((instant) => Temporal.Instant.from(instant).epochMilliseconds)));
}

function pad(value: number): string {
  return String(value).padStart(2, '0');
}
