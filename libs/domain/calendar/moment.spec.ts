import { describe, expect, it } from '@jest/globals';
import { addHours, compareInstants, inZone, requireInstant, UnreadableInstant } from './moment.js';

describe('an instant', () => {
  it('is read with any offset and written in UTC', () => {
    expect(requireInstant('2026-10-20T08:00:00+01:00')).toBe('2026-10-20T07:00:00Z');
    expect(requireInstant('2026-10-20t07:00:00.25z')).toBe('2026-10-20T07:00:00.25Z');
  });

  it.each([
    '2026-10-20',
    '2026-10-20T08:00:00',
    '2026-10-20T08:00Z',
    '2026-02-30T08:00:00Z',
    '2026-10-20T24:00:00Z',
    '2026-10-20 08:00:00Z',
    'yesterday',
    '',
  ])('is refused when it is not RFC 3339: "%s"', (text) => {
    expect(() => requireInstant(text, '/occurred/from')).toThrow(UnreadableInstant);
  });

  it('is compared as a moment and not as text', () => {
    expect(compareInstants('2026-10-20T08:00:00+01:00', '2026-10-20T07:00:00Z')).toBe(0);
    expect(compareInstants('2026-10-20T08:00:00+05:30', '2026-10-20T07:00:00Z')).toBeLessThan(0);
  });

  it('takes hours as elapsed time, through a night of 25 hours too', () => {
    expect(inZone(addHours('2026-10-24T22:00:00+01:00', 24), 'Europe/London')).toBe('2026-10-25T21:00:00+00:00');
  });

  it('is shown with the offset of its zone at that moment', () => {
    expect(inZone('2026-10-24T22:30:00Z', 'Europe/London')).toBe('2026-10-24T23:30:00+01:00');
    expect(inZone('2026-10-25T22:30:00Z', 'Europe/London')).toBe('2026-10-25T22:30:00+00:00');
  });

  it('stays the same moment where the zone had an offset with seconds', () => {
    const shown = inZone('1971-06-01T00:00:00Z', 'Africa/Monrovia');
    expect(compareInstants(shown, '1971-06-01T00:00:00Z')).toBe(0);
  });
});
