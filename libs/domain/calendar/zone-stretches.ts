import { Temporal } from 'temporal-polyfill';
import type { TimeZone } from './instant.js';

/** A time during which a zone's clocks were not changed; all in milliseconds, the end open. */
export interface Stretch {
  readonly from: number;
  readonly until: number;
  /** What the wall clock is ahead of UTC. */
  readonly offset: number;
}

/**
 * What Temporal said of each zone. A plan of 21 days asks some two hundred times, and Temporal answers once: the answer
 * never changes while the program runs, and a zone has few stretches.
 */
const known = new Map<TimeZone, Stretch[]>();

/** The stretch that a moment lies in. */
export function stretchAt(timeZone: TimeZone, milliseconds: number): Stretch {
  const found = known.get(timeZone)?.find(({ from, until }) => from <= milliseconds && milliseconds < until);
  return found ?? ask(timeZone, milliseconds);
}

function ask(timeZone: TimeZone, milliseconds: number): Stretch {
  const there = Temporal.Instant.fromEpochMilliseconds(milliseconds).toZonedDateTimeISO(timeZone);
  // The change that is next after the millisecond before includes one that falls on this very moment.
  const previous = there.add({ milliseconds: 1 }).getTimeZoneTransition('previous');
  const next = there.getTimeZoneTransition('next');
  const stretch = {
    from: previous?.epochMilliseconds ?? -Infinity,
    until: next?.epochMilliseconds ?? Infinity,
    offset: there.offsetNanoseconds / 1_000_000,
  };
  // Under the usual spelling only, so that odd ones cannot fill the memory.
  const stretches = known.get(there.timeZoneId) ?? [];
  known.set(there.timeZoneId, [...stretches, stretch]);
  return stretch;
}
