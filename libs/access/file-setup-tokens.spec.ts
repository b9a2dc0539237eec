import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { FileSetupTokens } from './file-setup-tokens.js';

const A_DAY_MS = 24 * 60 * 60 * 1000;

describe('the set-up token', () => {
  let folder: string;
  let now: number;
  let tokens: FileSetupTokens;

  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'setup-'));
    now = Date.parse('2026-01-31T10:00:00Z');
    tokens = new FileSetupTokens(folder, () => now);
  });

  afterEach(() => rm(folder, { recursive: true, force: true }));

  it('is good once', async () => {
    const token = await tokens.issue();

    const claim = await tokens.claim(token);
    await claim?.settle();

    expect(claim).not.toBeNull();
    expect(await tokens.claim(token)).toBeNull();
    expect(await readdir(folder)).toEqual([]);
  });

  it('goes to one of many callers at the same moment', async () => {
    const token = await tokens.issue();

    const claims = await Promise.all(Array.from({ length: 20 }, () => tokens.claim(token)));

    expect(claims.filter((claim) => claim !== null)).toHaveLength(1);
  });

  it('is as good as before when nothing came of the claim', async () => {
    const token = await tokens.issue();
    await (await tokens.claim(token))?.release();

    expect(await tokens.claim(token)).not.toBeNull();
  });

  it('is refused when it is another one, replaced, or a day old', async () => {
    const first = await tokens.issue();
    const second = await tokens.issue();

    expect(await tokens.claim('')).toBeNull();
    expect(await tokens.claim(first)).toBeNull();
    now += A_DAY_MS;
    expect(await tokens.claim(second)).toBeNull();
  });

  it('stands nowhere in the folder, and only the owner may read what does', async () => {
    const token = await tokens.issue();
    const path = join(folder, 'setup-link.json');

    expect(await readFile(path, 'utf8')).not.toContain(token);
    expect((await stat(path)).mode & 0o777).toBe(0o600);
  });
});
