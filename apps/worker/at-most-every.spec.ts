import { describe, expect, it } from '@jest/globals';
import { atMostEvery } from './at-most-every.js';

describe('something done at most every hour', () => {
  const HOUR = 3_600_000;

  it('is done when first asked, and again once the hour is over', async () => {
    let [at, done] = [0, 0];
    const ask = atMostEvery(
      HOUR,
      async () => void (done += 1),
      () => at,
    );
    await ask();
    at = HOUR - 1;
    await ask();
    expect(done).toBe(1);
    at = HOUR;
    await ask();
    expect(done).toBe(2);
  });

  it('is tried again when it failed', async () => {
    let asked = 0;
    const ask = atMostEvery(
      HOUR,
      async () => {
        asked += 1;
        if (asked === 1) throw new Error('not now');
      },
      () => 0,
    );
    await expect(ask()).rejects.toThrow('not now');
    await ask();
    await ask();
    expect(asked).toBe(2);
  });
});
