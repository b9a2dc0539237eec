import { describe, expect, it } from '@jest/globals';
import { requireTimeZone, UnknownTimeZone } from './time-zone.js';

describe('a time zone name', () => {
  it('is accepted in any case and comes back in its usual spelling', () => {
    expect(requireTimeZone('europe/london')).toBe('Europe/London');
    expect(requireTimeZone('Asia/Kolkata')).toBe('Asia/Kolkata');
    expect(requireTimeZone('UTC')).toBe('UTC');
  });

  it.each(['Europe/Atlantis', '', 'Z', '+01:00', 'Europe/London[u-ca=iso8601]', 'Mars/Olympus', ' Europe/London'])(
    'is refused when IANA does not know it: "%s"',
    (name) => {
      expect(() => requireTimeZone(name)).toThrow(UnknownTimeZone);
    },
  );

  it('is refused with the field named and an example of what would be accepted', () => {
    let refusal: unknown;
    try {
      requireTimeZone('Europe/Atlantis', '/occurred/timeZone');
    } catch (error) {
      refusal = error;
    }
    expect(refusal).toMatchObject({
      code: 'unknown-time-zone',
      pointer: '/occurred/timeZone',
      accepted: expect.stringContaining('Europe/London'),
    });
  });

  it('is accepted for every zone that this runtime offers', () => {
    for (const name of Intl.supportedValuesOf('timeZone')) expect(requireTimeZone(name)).toBe(name);
  });
});
