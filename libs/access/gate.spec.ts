import { describe, expect, it } from '@jest/globals';
import { Gate } from './gate.js';

function aDoor() {
  let open!: () => void;
  const opened = new Promise<void>((resolve) => (open = resolve));
  return { open, opened };
}

describe('a gate', () => {
  it('never lets more tasks run at once than it is wide, and runs them all', async () => {
    const gate = new Gate(4);
    let running = 0;
    let most = 0;
    const results = await Promise.all(
      Array.from({ length: 50 }, (_, index) =>
        gate.pass(async () => {
          running += 1;
          most = Math.max(most, running);
          await new Promise((resolve) => setImmediate(resolve));
          running -= 1;
          return index;
        }),
      ),
    );

    expect(most).toBe(4);
    expect(results).toEqual(Array.from({ length: 50 }, (_, index) => index));
  });

  it('lets the next one in when a task fails', async () => {
    const gate = new Gate(1);
    const door = aDoor();
    const failing = gate.pass(async () => {
      await door.opened;
      throw new Error('a fault');
    });
    const next = gate.pass(async () => 'entered');
    door.open();

    await expect(failing).rejects.toThrow('a fault');
    await expect(next).resolves.toBe('entered');
  });
});
