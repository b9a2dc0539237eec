import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { civilDate, requireCivilDay, UnreadableDate } from './civil-day.js';
import { addDays, dayOfWeek, daysBetween, localDateOf, startOfDay } from './local-date.js';
import { addHours, compareInstants, inZone, momentOf, requireInstant } from './moment.js';
import { whenClockShows } from './wall-clock.js';

const zones = fc.constantFrom(...Intl.supportedValuesOf('timeZone'));
/** 1970 to 2037, to the second. */
const seconds = fc.integer({ min: 0, max: 68 * 365 * 86_400 });
const days = fc.integer({ min: 0, max: 68 * 365 });
const minutesOfDay = fc.integer({ min: 0, max: 24 * 60 - 1 });
const date = (day: number) => new Date(day * 86_400_000).toISOString().slice(0, 10);

/** Moments around the changes of a zone's clocks, where shortcuts would go wrong. */
const nearChanges = fc
  .tuple(zones, seconds, fc.integer({ min: -3 * 86_400, max: 3 * 86_400 }))
  .map(([zone, second, distance]) => {
    const change = Temporal.Instant.fromEpochMilliseconds(second * 1000)
      .toZonedDateTimeISO(zone)
      .getTimeZoneTransition('next');
    return { zone, second: (change ? change.epochMilliseconds / 1000 : second) + distance };
  });
const anywhere = fc.record({ zone: zones, second: seconds });

// What we compute ourselves for speed is what Temporal says, on ordinary days and around every kind of clock change.
describe('our own arithmetic agrees with Temporal', () => {
  it('on the moment that an RFC 3339 text names', () => {
    const offset = fc.integer({ min: -23 * 60, max: 23 * 60 }).map((minutes) => {
      const two = (value: number) => String(Math.floor(value)).padStart(2, '0');
      return `${minutes < 0 ? '-' : '+'}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
    });
    const fraction = fc.constantFrom('', '.5', '.123456789', '.000000001', '.100');
    fc.assert(
      fc.property(seconds, offset, fraction, (second, zone, digits) => {
        const text = `${new Date(second * 1000).toISOString().slice(0, 19)}${digits}${zone}`;
        const instant = Temporal.Instant.from(text);
        const { milliseconds, nanoseconds } = momentOf(text);
        expect(BigInt(milliseconds) * 1_000_000n + BigInt(nanoseconds)).toBe(instant.epochNanoseconds);
        expect(requireInstant(text)).toBe(instant.toString());
        expect(addHours(text, 36.5)).toBe(instant.add({ hours: 36, minutes: 30 }).toString());
      }),
      { numRuns: 1000 },
    );
  });

  it('on the order of two moments', () => {
    fc.assert(
      fc.property(seconds, fc.integer({ min: -2, max: 2 }), (second, more) => {
        const [a, b] = [second, second + more].map((value) => new Date(value * 1000 + 7).toISOString());
        const order = Temporal.Instant.compare(Temporal.Instant.from(a ?? ''), Temporal.Instant.from(b ?? ''));
        return Math.sign(compareInstants(a ?? '', b ?? '')) === order;
      }),
    );
  });

  it('on every date of 220 years, and on which dates there are', () => {
    const faults: string[] = [];
    for (let day = Date.UTC(1890, 0, 1); day < Date.UTC(2110, 0, 1); day += 86_400_000) {
      const text = new Date(day).toISOString().slice(0, 10);
      if (requireCivilDay(text) !== day || civilDate(day) !== text) faults.push(text);
    }
    expect(faults).toEqual([]);
    for (const [text, exists] of [
      ['1900-02-29', false],
      ['2000-02-29', true],
      ['2026-04-31', false],
      ['0000-03-01', true],
      ['9999-12-31', true],
    ] as const) {
      if (exists) expect(civilDate(requireCivilDay(text))).toBe(text);
      else expect(() => requireCivilDay(text)).toThrow(UnreadableDate);
    }
  });

  it('on dates', () => {
    fc.assert(
      fc.property(days, fc.integer({ min: -800, max: 800 }), (day, more) => {
        const plain = Temporal.PlainDate.from(date(day));
        expect(requireCivilDay(date(day))).toBe(day * 86_400_000);
        expect(addDays(date(day), more)).toBe(plain.add({ days: more }).toString());
        expect(daysBetween(date(day), addDays(date(day), more))).toBe(more);
        expect(dayOfWeek(date(day))).toBe(plain.dayOfWeek);
      }),
    );
  });

  it.each([
    ['around clock changes', nearChanges],
    ['anywhere', anywhere],
  ])('on the date, the text and the beginning of the day in a zone, %s', (_where, moments) => {
    fc.assert(
      fc.property(moments, ({ zone, second }) => {
        const instant = Temporal.Instant.fromEpochMilliseconds(second * 1000);
        const there = instant.toZonedDateTimeISO(zone);
        const today = there.toPlainDate();
        const same = (text: string, moment: Temporal.ZonedDateTime) =>
          Temporal.Instant.from(text).epochNanoseconds === moment.epochNanoseconds &&
          (moment.offsetNanoseconds % 60_000_000_000 !== 0 || text.endsWith(moment.offset));
        return (
          localDateOf(instant.toString(), zone) === today.toString() &&
          same(inZone(instant.toString(), zone), there) &&
          same(startOfDay(today.toString(), zone), today.toZonedDateTime(zone))
        );
      }),
      { numRuns: 400 },
    );
  });

  it.each([
    ['around clock changes', nearChanges.map(({ zone, second }) => ({ zone, day: Math.floor(second / 86_400) }))],
    ['anywhere', fc.record({ zone: zones, day: days })],
  ])('on when a wall clock shows a time, %s', (_where, dates) => {
    fc.assert(
      fc.property(
        dates,
        minutesOfDay,
        fc.constantFrom('earlier' as const, 'later' as const),
        ({ zone, day }, minutes, ofTwo) => {
          const wall = day * 86_400_000 + minutes * 60_000;
          const there = Temporal.PlainDateTime.from(new Date(wall).toISOString().slice(0, 16)).toZonedDateTime(zone, {
            disambiguation: ofTwo === 'earlier' ? 'compatible' : 'later',
          });
          const { milliseconds, offset } = whenClockShows(wall, zone, ofTwo);
          return milliseconds === there.epochMilliseconds && offset === there.offsetNanoseconds / 1_000_000;
        },
      ),
      { numRuns: 400 },
    );
  });
});
