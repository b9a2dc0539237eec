import { describe, expect, it } from '@jest/globals';
import { OneAtATime } from './one-at-a-time.js';

const turn = () => new Promise((resolve) => setImmediate(resolve));

describe('one task at a time', () => {
  it('covers any number of wishes during a run with one more run', async () => {
    let runs = 0;
    let together = 0;
    let most = 0;
    const task = new OneAtATime(async () => {
      runs += 1;
      together += 1;
      most = Math.max(most, together);
      await turn();
      together -= 1;
    });

    const first = task.run();
    await Promise.all([task.run(), task.run(), task.run(), first]);

    expect(runs).toBe(2);
    expect(most).toBe(1);
  });

  it('answers a wish only after a run that began later', async () => {
    const seen: number[] = [];
    let latest = 1;
    const task = new OneAtATime(async () => {
      const read = latest;
      await turn();
      seen.push(read);
    });

    const first = task.run();
    latest = 2;
    await task.run();
    await first;

    expect(seen).toEqual([1, 2]);
  });

  it('can run again after a failure', async () => {
    let fails = true;
    const task = new OneAtATime(async () => {
      if (fails) throw new Error('a fault');
    });

    await expect(task.run()).rejects.toThrow('a fault');
    fails = false;
    await expect(task.run()).resolves.toBeUndefined();
  });
});
