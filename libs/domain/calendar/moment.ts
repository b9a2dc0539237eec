import { DomainError } from '../refusal.js';
import { CIVIL_DAY, civilDate, requireCivilDay, two } from './civil-day.js';
import type { Instant, TimeZone } from './instant.js';
import { stretchAt } from './zone-stretches.js';

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

/** A point in time: whole seconds since 1970 in milliseconds, and the nanoseconds after them. */
export interface Moment {
  readonly milliseconds: number;
  readonly nanoseconds: number;
}

const RFC_3339 =
  /^(\d{4}-\d{2}-\d{2})[Tt]([01]\d|2[0-3]):([0-5]\d):([0-5]\d|60)(?:\.(\d{1,9}))?(?:[Zz]|([+-])([01]\d|2[0-3]):([0-5]\d))$/;

/** Inside the core only: callers hand instants on as text. A leap second is the second before it. */
export function momentOf(instant: Instant, pointer?: string): Moment {
  const match = typeof instant === 'string' ? RFC_3339.exec(instant) : null;
  if (!match) throw new UnreadableInstant(pointer);
  const [, date = '', hours, minutes, seconds, fraction = '', sign, offsetHours = '0', offsetMinutes = '0'] = match;
  let day: number;
  try {
    day = requireCivilDay(date);
  } catch (cause) {
    throw new UnreadableInstant(pointer, cause);
  }
  const time = (Number(hours) * 60 + Number(minutes)) * 60 + Math.min(59, Number(seconds));
  const offset = (Number(offsetHours) * 60 + Number(offsetMinutes)) * (sign === '-' ? -60 : 60);
  return { milliseconds: day + (time - offset) * 1000, nanoseconds: Number(fraction.padEnd(9, '0')) };
}

/** The same moment in UTC text, or `UnreadableInstant`. */
export function requireInstant(text: string, pointer?: string): Instant {
  return textOf(momentOf(text, pointer), 0);
}

/** Negative when `a` is the earlier moment, whatever the offsets they are written in. */
export function compareInstants(a: Instant, b: Instant): number {
  const [left, right] = [momentOf(a), momentOf(b)];
  return left.milliseconds - right.milliseconds || left.nanoseconds - right.nanoseconds;
}

/** Elapsed hours, so that a clock change never lengthens or shortens a time limit. To the second. */
export function addHours(instant: Instant, hours: number): Instant {
  const { milliseconds, nanoseconds } = momentOf(instant);
  return textOf({ milliseconds: milliseconds + Math.round(hours * 3600) * 1000, nanoseconds }, 0);
}

/**
 * The moment as the zone's clocks show it. RFC 3339 has no seconds in an offset, so the few zones that had such an
 * offset before 1972 are written in UTC rather than rounded to another moment.
 *
 * @example inZone('2026-10-20T07:00:00Z', 'Europe/London') // '2026-10-20T08:00:00+01:00'
 */
export function inZone(instant: Instant, timeZone: TimeZone): Instant {
  const moment = momentOf(instant);
  const { offset } = stretchAt(timeZone, moment.milliseconds);
  return zonedText(moment, offset);
}

/** As `inZone`, where the offset (in milliseconds) is known. */
export function zonedText(moment: Moment, offset: number): Instant {
  if (offset % 60_000 !== 0) return textOf(moment, 0);
  if (offset === 0) return textOf(moment, 0).replace('Z', '+00:00');
  return textOf(moment, offset);
}

function textOf({ milliseconds, nanoseconds }: Moment, offset: number): Instant {
  const wall = milliseconds + offset;
  const seconds = (wall - Math.floor(wall / CIVIL_DAY) * CIVIL_DAY) / 1000;
  const time = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  const fraction = nanoseconds === 0 ? '' : `.${String(nanoseconds).padStart(9, '0').replace(/0+$/, '')}`;
  return `${civilDate(wall)}T${time}${fraction}${offset === 0 ? 'Z' : offsetText(offset)}`;
}

function offsetText(offset: number): string {
  const minutes = Math.abs(offset) / 60_000;
  return `${offset < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
