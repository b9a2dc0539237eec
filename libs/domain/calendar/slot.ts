import { requireCivilDay } from './civil-day.js';
import type { Instant, LocalDate, TimeZone } from './instant.js';
import { dateExists } from './local-date.js';
import { wallText, whenClockShows } from './wall-clock.js';

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
  const day = requireCivilDay(date);
  const [opens, closes] = [timeOfDay(band.from), timeOfDay(band.until)];
  const from = whenClockShows(day + opens, timeZone, 'earlier');
  const until = whenClockShows(day + closes, timeZone, 'later');
  const wholeLength = { milliseconds: from.milliseconds + closes - opens, offset: from.offset };
  return {
    from: wallText(from),
    until: wallText(until.milliseconds < wholeLength.milliseconds ? wholeLength : until),
  };
}

/** Milliseconds after midnight. */
function timeOfDay(clock: string): number {
  return (Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3))) * 60_000;
}
