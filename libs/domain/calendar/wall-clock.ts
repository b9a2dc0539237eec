import { Temporal } from 'temporal-polyfill';
import { CIVIL_DAY, civilDate } from './civil-day.js';
import type { Instant, TimeZone } from './instant.js';
import { zonedText } from './moment.js';
import { stretchAt } from './zone-stretches.js';

/** A moment, with what the wall clock there is ahead of UTC; in milliseconds. */
export interface WallMoment {
  readonly milliseconds: number;
  readonly offset: number;
}

/** Clock changes move clocks by a day at most, and no clock is more than a day from UTC. */
const CLEAR_OF_CHANGES = 2 * CIVIL_DAY;

/**
 * When the wall clock shows `wall` (a civil day plus the time of day, in milliseconds). A time that a change skips is
 * moved on by the length of the gap; of two equal times the `earlier` or the `later` is meant.
 */
export function whenClockShows(wall: number, timeZone: TimeZone, ofTwo: 'earlier' | 'later'): WallMoment {
  const { from, until, offset } = stretchAt(timeZone, wall);
  const milliseconds = wall - offset;
  if (milliseconds - from >= CLEAR_OF_CHANGES && until - milliseconds >= CLEAR_OF_CHANGES) {
    return { milliseconds, offset };
  }
  const near = Temporal.PlainDateTime.from(new Date(wall).toISOString().slice(0, 19)).toZonedDateTime(timeZone, {
    disambiguation: ofTwo === 'earlier' ? 'compatible' : 'later',
  });
  return { milliseconds: near.epochMilliseconds, offset: near.offsetNanoseconds / 1_000_000 };
}

/** The first moment of a civil day; where midnight was skipped, the first that there is. */
export function whenDayBegins(day: number, timeZone: TimeZone): WallMoment {
  const { from, until, offset } = stretchAt(timeZone, day);
  const milliseconds = day - offset;
  if (milliseconds - from >= CLEAR_OF_CHANGES && until - milliseconds >= CLEAR_OF_CHANGES) {
    return { milliseconds, offset };
  }
  const near = Temporal.PlainDate.from(civilDate(day)).toZonedDateTime(timeZone);
  return { milliseconds: near.epochMilliseconds, offset: near.offsetNanoseconds / 1_000_000 };
}

/** RFC 3339 with the offset of the zone. */
export function wallText({ milliseconds, offset }: WallMoment): Instant {
  return zonedText({ milliseconds, nanoseconds: 0 }, offset);
}
