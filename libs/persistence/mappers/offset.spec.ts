import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { inZone } from '#domain';
import { offsetOf, withOffset } from './offset.js';

describe('an instant that is kept with its offset', () => {
  it.each([
    ['2026-10-20T17:00:00.000Z', 60, '2026-10-20T18:00:00+01:00'],
    ['2026-11-25T13:18:57.890Z', 60, '2026-11-25T14:18:57.89+01:00'],
    ['2026-11-25T13:18:57.800Z', 0, '2026-11-25T13:18:57.8+00:00'],
    ['2026-11-25T13:18:57.080Z', -210, '2026-11-25T09:48:57.08-03:30'],
  ])('%s at %i minutes is read back as %s', (instant, offset, text) => {
    expect(withOffset(instant, offset)).toBe(text);
  });

  it('is read back as the domain wrote it, to the millisecond', () => {
    const zone = fc.constantFrom('UTC', 'Europe/London', 'Asia/Kolkata', 'America/St_Johns', 'Pacific/Auckland');
    const moment = fc.integer({ min: Date.UTC(2000, 0), max: Date.UTC(2050, 0) });
    fc.assert(
      fc.property(zone, moment, (timeZone, milliseconds) => {
        const instant = new Date(milliseconds).toISOString();
        const written = inZone(instant, timeZone);
        expect(withOffset(instant, offsetOf(written))).toBe(written);
      }),
    );
  });
});
