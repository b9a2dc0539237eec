import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { addDays, daysBetween, localDateOf } from './local-date.js';
import { slotOn } from './slot.js';

const zones = Intl.supportedValuesOf('timeZone');
const at = (text: string) => Date.parse(text);
const HOUR = 3_600_000;

/** Minutes that a zone's wall clock is ahead of UTC, from the runtime itself and not from the code under test. */
function wallOffsetOf(zone: string): (moment: number) => number {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  });
  return (moment) => {
    const [day = 1, month = 1, year = 0, hour, minute, second] = (format.format(moment).match(/\d+/g) ?? []).map(
      Number,
    );
    return (Date.UTC(year, month - 1, day, hour, minute, second) - moment) / 60_000;
  };
}

describe('a slot', () => {
  it('keeps its wall-clock times on both sides of a clock change', () => {
    const band = { from: '06:00', until: '10:00' };
    expect(slotOn('2026-10-24', 'Europe/London', band)).toEqual({
      from: '2026-10-24T06:00:00+01:00',
      until: '2026-10-24T10:00:00+01:00',
    });
    expect(slotOn('2026-10-25', 'Europe/London', band)).toEqual({
      from: '2026-10-25T06:00:00+00:00',
      until: '2026-10-25T10:00:00+00:00',
    });
  });

  it('that begins in a gap moves on by the gap and keeps its length', () => {
    expect(slotOn('2026-03-29', 'Europe/London', { from: '01:30', until: '02:15' })).toEqual({
      from: '2026-03-29T02:30:00+01:00',
      until: '2026-03-29T03:15:00+01:00',
    });
    expect(slotOn('2026-03-29', 'Europe/London', { from: '01:10', until: '01:50' })).toEqual({
      from: '2026-03-29T02:10:00+01:00',
      until: '2026-03-29T02:50:00+01:00',
    });
  });

  it('begins at the first and ends at the last of two equal clock times', () => {
    expect(slotOn('2026-10-25', 'Europe/London', { from: '01:15', until: '01:45' })).toEqual({
      from: '2026-10-25T01:15:00+01:00',
      until: '2026-10-25T01:45:00+00:00',
    });
  });

  it('follows the half-hour clock change of Lord Howe', () => {
    const evenings = ['2026-04-04', '2026-04-05'].map((date) =>
      slotOn(date, 'Australia/Lord_Howe', { from: '18:00', until: '22:00' }),
    );
    expect(at(evenings[1]?.from ?? '') - at(evenings[0]?.from ?? '')).toBe(24.5 * HOUR);
  });

  it('is not there on a date that the zone skipped, so that the next date has it once', () => {
    const morning = { from: '06:00', until: '10:00' };
    expect(slotOn('2011-12-30', 'Pacific/Apia', morning)).toBeNull();
    const evening = slotOn('2011-12-29', 'Pacific/Apia', { from: '18:00', until: '22:00' });
    const next = slotOn('2011-12-31', 'Pacific/Apia', morning);
    expect((at(next?.from ?? '') - at(evening?.from ?? '')) / HOUR).toBe(12);
  });

  it('comes in order, on its own date and with its wall-clock start, over every zone and many dates', () => {
    const faults: string[] = [];
    let crossings = 0;
    for (const [index, zone] of zones.entries()) {
      // Another year for each zone, in both seasons: together all zones and all years from 1972 to 2037.
      const year = 1972 + (index % 66);
      const wallOffset = wallOffsetOf(zone);
      for (const start of [`${year}-03-20`, `${year}-10-15`]) {
        let before: { from: number; until: number } | null = null;
        for (let day = 0; day < 21; day += 1) {
          const date = addDays(start, day);
          for (const band of [
            { from: '06:00', until: '10:00' },
            { from: '18:00', until: '22:00' },
          ]) {
            const slot = slotOn(date, zone, band);
            if (!slot) continue;
            const [from, until] = [at(slot.from), at(slot.until)];
            if (from >= until) faults.push(`${zone} ${slot.from}: ends before it begins`);
            if (localDateOf(slot.from, zone) !== date) faults.push(`${zone} ${slot.from}: another date`);
            if (before) {
              if (from <= before.until) faults.push(`${zone} ${slot.from}: overlaps the one before`);
              const gap = (from - before.from) / HOUR;
              const shift = (wallOffset(from) - wallOffset(before.from)) / 60;
              // A zone that crossed the date line skipped a date: the gap is what the hands of the clock moved.
              const handsMoved = shift - 24 * Math.round(shift / 24);
              if (handsMoved !== 0) crossings += 1;
              if (Math.abs(gap - (12 - handsMoved)) > 1e-9)
                faults.push(`${zone} ${slot.from}: ${gap} h after the last`);
              if (Math.abs(handsMoved) <= 1 && (gap < 11 || gap > 13)) faults.push(`${zone} ${slot.from}: ${gap} h`);
            }
            before = { from, until };
          }
        }
      }
    }
    expect(faults).toEqual([]);
    expect(crossings).toBeGreaterThan(50);
  });

  it('is never missing, doubled or upside down for bands in the small hours', () => {
    const minute = fc.integer({ min: 0, max: 23 * 60 + 58 });
    const clock = (minutes: number) =>
      `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc.integer({ min: 0, max: 24_000 }).map((days) => addDays('1972-01-01', days)),
        minute,
        fc.integer({ min: 1, max: 240 }),
        (zone, date, from, length) => {
          const until = Math.min(from + length, 23 * 60 + 59);
          const today = slotOn(date, zone, { from: clock(from), until: clock(until) });
          const tomorrow = slotOn(addDays(date, 1), zone, { from: clock(from), until: clock(until) });
          if (!today || !tomorrow) return true;
          return (
            at(today.until) - at(today.from) >= (until - from) * 60_000 &&
            at(today.until) <= at(tomorrow.until) &&
            at(today.from) < at(tomorrow.from) &&
            Math.abs(daysBetween(date, localDateOf(today.from, zone))) <= 1
          );
        },
      ),
      { numRuns: 1000 },
    );
  });
});
