import { describe, expect, it } from '@jest/globals';
import {
  clockInWords,
  dateInWords,
  daysUntil,
  distanceInWords,
  instantOf,
  lengthInWords,
  wallClock,
} from './time-words.js';

const now = Date.parse('2026-11-25T10:00:00Z');

describe('a time on a page', () => {
  it('says how long ago in at most two units', () => {
    expect(distanceInWords('2026-11-25T09:59:40Z', now)).toBe('just now');
    expect(distanceInWords('2026-11-25T09:59:00Z', now)).toBe('1 minute ago');
    expect(distanceInWords('2026-11-25T08:25:00Z', now)).toBe('1 hour 35 minutes ago');
    expect(distanceInWords('2026-11-20T10:00:00Z', now)).toBe('5 days ago');
  });

  it('says how long is left', () => {
    expect(distanceInWords('2026-11-25T18:00:00Z', now)).toBe('in 8 hours');
    expect(distanceInWords('2026-12-16T18:00:00Z', now)).toBe('in 21 days');
  });

  it('never rounds up: 59 minutes and 59 seconds are 59 minutes', () => {
    expect(lengthInWords(59 * 60_000 + 59_000)).toBe('59 minutes');
  });

  it('carries its zone, and the date unless it is today there', () => {
    expect(clockInWords('2026-11-25T09:12:00Z', 'Europe/London', now)).toBe('09:12 GMT');
    expect(clockInWords('2026-07-01T09:12:00Z', 'Europe/London', now)).toBe('10:12 BST, Wed 1 Jul');
  });

  it('carries the year when it is not this one, as it is counted there', () => {
    expect(clockInWords('2025-12-31T23:30:00Z', 'Europe/London', now)).toBe('23:30 GMT, Wed 31 Dec 2025');
    expect(clockInWords('2025-12-31T23:30:00Z', 'Europe/Madrid', now)).toMatch(/^00:30 .*, Thu 1 Jan$/);
    expect(dateInWords('2026-11-25')).toBe('Wed 25 Nov 2026');
  });

  it('says that an unreadable time is not known', () => {
    expect(clockInWords('soon', 'Europe/London', now)).toBe('not known');
    expect(distanceInWords('soon', now)).toBe('not known');
    expect(dateInWords('soon')).toBe('not known');
  });
});

describe('a time typed by hand', () => {
  it('is read on the clock of the zone', () => {
    expect(instantOf('2026-11-25', '09:12', 'Europe/London')).toBe('2026-11-25T09:12:00.000Z');
    expect(instantOf('2026-07-01', '09:12', 'Europe/London')).toBe('2026-07-01T08:12:00.000Z');
    expect(instantOf('2026-07-01', '09:12', 'Asia/Kathmandu')).toBe('2026-07-01T03:27:00.000Z');
    expect(instantOf('2026-07-01', '09:12', 'Pacific/Kiritimati')).toBe('2026-06-30T19:12:00.000Z');
  });

  it('is refused where the clock jumped over it', () => {
    expect(instantOf('2026-03-29', '01:30', 'Europe/London')).toBeNull();
  });

  it('is the earlier of the two where the clock showed it twice', () => {
    expect(instantOf('2026-10-25', '01:30', 'Europe/London')).toBe('2026-10-25T00:30:00.000Z');
  });

  it('comes back as it was typed', () => {
    const instant = instantOf('2026-11-25', '23:59', 'America/St_Johns');
    expect(wallClock(Date.parse(instant ?? ''), 'America/St_Johns')).toEqual({ date: '2026-11-25', time: '23:59' });
  });
});

describe('days left', () => {
  it('counts calendar days, not hours', () => {
    expect(daysUntil('2026-11-26', 'Europe/London', Date.parse('2026-11-25T23:50:00Z'))).toBe(1);
    expect(daysUntil('2026-11-25', 'Europe/London', now)).toBe(0);
    expect(daysUntil('2026-11-20', 'Europe/London', now)).toBe(0);
  });

  it('is not bent by a night of 23 or 25 hours', () => {
    expect(daysUntil('2026-10-26', 'Europe/London', Date.parse('2026-10-24T12:00:00Z'))).toBe(2);
    expect(daysUntil('2026-03-30', 'Europe/London', Date.parse('2026-03-28T12:00:00Z'))).toBe(2);
  });
});
