import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SignOfLife } from './sign-of-life.js';

describe('the worker’s sign of life', () => {
  let parent: string;

  beforeEach(async () => {
    parent = await mkdtemp(join(tmpdir(), 'sign-of-life-'));
  });

  afterEach(() => rm(parent, { recursive: true, force: true }));

  it('is missing before the first look', async () => {
    expect(await new SignOfLife(parent).isFresh()).toBe(false);
  });

  it('is fresh after a look, in a folder that nobody has made yet, and grows old', async () => {
    const sign = new SignOfLife(join(parent, 'data'));
    await sign.give();

    expect(await sign.isFresh()).toBe(true);
    expect(await sign.isFresh(Date.now() + 15_000)).toBe(true);
    expect(await sign.isFresh(Date.now() + 25_000)).toBe(false);
  });
});
