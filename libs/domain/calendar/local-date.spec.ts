import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import {
  addDays,
  dateExists,
  dayOfWeek,
  daysBetween,
  daysRemaining,
  endOfDay,
  localDateOf,
  nextExistingDate,
  requireLocalDate,
  startOfDay,
} from './local-date.js';
import { UnreadableDate } from './civil-day.js';
import { compareInstants } from './moment.js';

const hoursBetween = (from: string, to: string) => (Date.parse(to) - Date.parse(from)) / 3_600_000;

describe('a local date', () => {
  it.each(['2026-02-29', '2026-13-01', '20261020', '2026-1-2', ''])(
    'is refused when no calendar has it: "%s"',
    (text) => {
      expect(() => requireLocalDate(text)).toThrow(UnreadableDate);
    },
  );

  it('is the date on the wall, which may not be the date in UTC', () => {
    expect(localDateOf('2026-10-20T23:30:00Z', 'Europe/London')).toBe('2026-10-21');
    expect(localDateOf('2026-10-20T03:00:00Z', 'America/New_York')).toBe('2026-10-19');
  });

  it('moves by calendar days over month ends, leap days and year ends', () => {
    expect(addDays('2028-02-28', 1)).toBe('2028-02-29');
    expect(addDays('2027-02-28', 1)).toBe('2027-03-01');
    expect(addDays('2026-12-15', 21)).toBe('2027-01-05');
    expect(daysBetween('2028-02-08', '2028-02-29')).toBe(21);
    expect(dayOfWeek('2026-11-29')).toBe(7);
  });

  // The hours were measured for reliability.md, section 1.4: the days are counted on the wall, so the hours differ.
  it.each([
    ['Europe/London', '2026-10-20', 505],
    ['America/New_York', '2026-10-20', 505],
    ['Asia/Kolkata', '2026-10-20', 504],
    ['America/Sao_Paulo', '2026-10-20', 504],
    ['Africa/Casablanca', '2026-10-20', 504],
    ['Pacific/Apia', '2011-12-20', 480],
  ])('has 21 days in %s from %s that hold %i hours', (zone, from, hours) => {
    expect(hoursBetween(startOfDay(from, zone), startOfDay(addDays(from, 21), zone))).toBe(hours);
  });

  it('has 23 or 25 hours when the clocks change, and 24.5 or 23.5 on Lord Howe', () => {
    const length = (date: string, zone: string) => hoursBetween(startOfDay(date, zone), endOfDay(date, zone));
    expect(length('2026-03-29', 'Europe/London')).toBe(23);
    expect(length('2026-10-25', 'Europe/London')).toBe(25);
    expect(length('2026-04-05', 'Australia/Lord_Howe')).toBe(24.5);
    expect(length('2026-10-04', 'Australia/Lord_Howe')).toBe(23.5);
  });

  it('is known not to exist where a zone skipped it', () => {
    expect(dateExists('2011-12-30', 'Pacific/Apia')).toBe(false);
    expect(nextExistingDate('2011-12-30', 'Pacific/Apia')).toBe('2011-12-31');
    expect(dateExists('2011-12-30', 'Pacific/Auckland')).toBe(true);
    expect(startOfDay('2011-12-30', 'Pacific/Apia')).toBe(startOfDay('2011-12-31', 'Pacific/Apia'));
  });

  it('begins at one o’clock where the clocks go forward at midnight', () => {
    expect(startOfDay('2026-03-29', 'Asia/Beirut')).toBe('2026-03-29T01:00:00+03:00');
  });

  it('ends exactly where the next one begins and holds its own moments, in every zone', () => {
    const zones = fc.constantFrom(...Intl.supportedValuesOf('timeZone'));
    const moments = fc.integer({ min: 0, max: 68 * 365 * 86_400 }).map((s) => new Date(s * 1000).toISOString());
    fc.assert(
      fc.property(zones, moments, (zone, at) => {
        const date = localDateOf(at, zone);
        return (
          dateExists(date, zone) &&
          compareInstants(startOfDay(date, zone), at) <= 0 &&
          compareInstants(at, endOfDay(date, zone)) < 0
        );
      }),
      { numRuns: 800 },
    );
  });
});

describe('days remaining', () => {
  it('is the difference of local dates and never hours divided by 24', () => {
    // Minutes apart, on two sides of midnight in London.
    expect(daysRemaining('2026-11-10', 'Europe/London', '2026-10-20T22:59:00Z')).toBe(21);
    expect(daysRemaining('2026-11-10', 'Europe/London', '2026-10-20T23:01:00Z')).toBe(20);
    // 24 hours and a half before the end of the last day, after the long night: still one day.
    expect(daysRemaining('2026-10-26', 'Europe/London', '2026-10-25T23:30:00Z')).toBe(1);
  });

  it('is 0 on the last day and after it', () => {
    expect(daysRemaining('2026-11-10', 'Europe/London', '2026-11-10T12:00:00Z')).toBe(0);
    expect(daysRemaining('2026-11-10', 'Europe/London', '2026-12-01T12:00:00Z')).toBe(0);
  });
});
