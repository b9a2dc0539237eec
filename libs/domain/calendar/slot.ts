import { Temporal } from 'temporal-polyfill';
import type { Instant, LocalDate, TimeZone } from './instant.js';
import { dateExists } from './local-date.js';
import { zonedText } from './moment.js';

/** A part of a day by the clocks on the wall, `HH:MM`. */
export interface ClockBand {
  readonly from: string;
  readonly until: string;
}

/**
 * When a band of the wall clock is on that date, or null where the zone skipped the date. Every other date has the band
 * exactly once: begun at the first of two equal clock times and ended at the last of them, moved on by the length of a
 * gap that it begins in, and never shorter than the site asked for.
 *
 * @example slotOn('2026-03-29', 'Europe/London', { from: '01:30', until: '02:15' })
 *          // { from: '2026-03-29T02:30:00+01:00', until: '2026-03-29T03:15:00+01:00' }
 */
export function slotOn(
  date: LocalDate,
  timeZone: TimeZone,
  band: ClockBand,
): { readonly from: Instant; readonly until: Instant } | null {
  if (!dateExists(date, timeZone)) return null;
  const from = Temporal.PlainDateTime.from(`${date}T${band.from}`).toZonedDateTime(timeZone);
  const until = Temporal.PlainDateTime.from(`${date}T${band.until}`).toZonedDateTime(timeZone, {
    disambiguation: 'later',
  });
  const wholeLength = from.add(
    Temporal.PlainTime.from(band.from).until(Temporal.PlainTime.from(band.until), { largestUnit: 'minute' }),
  );
  const end = Temporal.ZonedDateTime.compare(until, wholeLength) < 0 ? wholeLength : until;
  return { from: zonedText(from), until: zonedText(end) };
}
