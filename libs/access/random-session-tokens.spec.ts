import { describe, expect, it } from '@jest/globals';
import { RandomSessionTokens } from './random-session-tokens.js';

const tokens = new RandomSessionTokens();

describe('a session token', () => {
  it('carries 256 random bits and no character that a cookie would have to escape', () => {
    const made = Array.from({ length: 100 }, () => tokens.create().token);

    expect(new Set(made).size).toBe(100);
    for (const token of made) expect(token).toMatch(/^[A-Za-z0-9_-]{43}$/);
  });

  it('is found again by its SHA-256 and cannot be read from it', () => {
    const { token, tokenHash } = tokens.create();

    expect(tokens.hash(token)).toBe(tokenHash);
    expect(tokenHash).toMatch(/^[0-9a-f]{64}$/);
    expect(tokenHash).not.toContain(token);
    // FIPS 180-4, the example of one block.
    expect(tokens.hash('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });
});
