import { Temporal } from 'temporal-polyfill';
import { DomainError } from '../refusal.js';
import type { Instant, TimeZone } from './instant.js';

const RFC_3339 = /^\d{4}-\d{2}-\d{2}[Tt]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})$/;

/** The text is no RFC 3339 instant: without an offset nobody can tell which moment was meant. */
export class UnreadableInstant extends DomainError {
  constructor(pointer = '/at', cause?: unknown) {
    super('unreadable-instant', 'The moment is not an RFC 3339 instant.', {
      pointer,
      accepted:
        'a date, a time with seconds and an offset, for example 2026-10-20T08:00:00+01:00 or 2026-10-20T07:00:00Z',
      cause,
    });
  }
}

/** Inside the core only: callers hand instants on as text. */
export function momentOf(instant: Instant, pointer?: string): Temporal.Instant {
  if (typeof instant !== 'string' || !RFC_3339.test(instant)) throw new UnreadableInstant(pointer);
  try {
    return Temporal.Instant.from(instant);
  } catch (cause) {
    throw new UnreadableInstant(pointer, cause);
  }
}

/** The same moment in UTC text, or `UnreadableInstant`. */
export function requireInstant(text: string, pointer?: string): Instant {
  return momentOf(text, pointer).toString();
}

/** Negative when `a` is the earlier moment, whatever the offsets they are written in. */
export function compareInstants(a: Instant, b: Instant): number {
  return Temporal.Instant.compare(momentOf(a), momentOf(b));
}

/** Elapsed hours, so that a clock change never lengthens or shortens a time limit. */
export function addHours(instant: Instant, hours: number): Instant {
  return momentOf(instant)
    .add({ milliseconds: Math.round(hours * 3_600_000) })
    .toString();
}

/**
 * The moment as the zone's clocks show it. RFC 3339 has no seconds in an offset, so the few zones that had such an
 * offset before 1972 are written in UTC rather than rounded to another moment.
 *
 * @example inZone('2026-10-20T07:00:00Z', 'Europe/London') // '2026-10-20T08:00:00+01:00'
 */
export function inZone(instant: Instant, timeZone: TimeZone): Instant {
  return zonedText(momentOf(instant).toZonedDateTimeISO(timeZone));
}

/** As `inZone`, for what is already in its zone. */
export function zonedText(moment: Temporal.ZonedDateTime): Instant {
  const wholeMinutes = moment.offsetNanoseconds % 60_000_000_000 === 0;
  return wholeMinutes ? moment.toString({ timeZoneName: 'never' }) : moment.toInstant().toString();
}
