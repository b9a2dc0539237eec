import { Temporal } from 'temporal-polyfill';
import { DomainError } from '../refusal.js';
import type { TimeZone } from './instant.js';

/** The name is no time zone of the IANA database. Offsets are refused too: they know nothing of summer time. */
export class UnknownTimeZone extends DomainError {
  constructor(pointer = '/timeZone', cause?: unknown) {
    super('unknown-time-zone', 'The time zone is not in the IANA database.', {
      pointer,
      accepted: 'an IANA time zone name, for example Europe/London, America/New_York or Asia/Kolkata',
      cause,
    });
  }
}

/**
 * The zone's name in its usual spelling, or `UnknownTimeZone`.
 *
 * @example requireTimeZone('europe/london') // 'Europe/London'
 */
export function requireTimeZone(name: string, pointer?: string): TimeZone {
  if (typeof name !== 'string' || !/^[A-Za-z]/.test(name)) throw new UnknownTimeZone(pointer);
  try {
    return Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(name).timeZoneId;
  } catch (cause) {
    throw new UnknownTimeZone(pointer, cause);
  }
}
