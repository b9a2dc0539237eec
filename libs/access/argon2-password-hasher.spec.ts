import { describe, expect, it } from '@jest/globals';
import { parseOptions } from '@node-rs/argon2';
import { Argon2PasswordHasher } from './argon2-password-hasher.js';

const hasher = new Argon2PasswordHasher();

describe('the password hasher', () => {
  it('knows its own password again and no other', async () => {
    const stored = await hasher.hash('a long enough pass phrase');

    expect(await hasher.matches(stored, 'a long enough pass phrase')).toBe(true);
    expect(await hasher.matches(stored, 'a long enough pass phrasf')).toBe(false);
    expect(await hasher.matches(stored, '')).toBe(false);
  });

  it('never gives the same hash twice', async () => {
    expect(await hasher.hash('a long enough pass phrase')).not.toBe(await hasher.hash('a long enough pass phrase'));
  });

  it('works at the cost that RFC 9106 recommends second', async () => {
    const stored = await hasher.hash('a long enough pass phrase');

    expect(stored.startsWith('$argon2id$')).toBe(true);
    expect(parseOptions(stored)).toMatchObject({ memoryCost: 65_536, timeCost: 3, parallelism: 4 });
  });

  it('does the same work for a login that nobody has, and matches no password', async () => {
    const stored = await hasher.hash('a long enough pass phrase');
    const timed = async (against: string | null) => {
      const times: number[] = [];
      for (let round = 0; round < 7; round += 1) {
        const begun = performance.now();
        expect(await hasher.matches(against, 'another pass phrase')).toBe(false);
        times.push(performance.now() - begun);
      }
      return times.sort((a, b) => a - b)[0] ?? 0;
    };
    const known = await timed(stored);
    const unknown = await timed(null);

    // The best of seven each: an answer without the work would take a hundredth.
    expect(unknown).toBeGreaterThan(known / 4);
    expect(unknown).toBeLessThan(known * 4);
  });
});
