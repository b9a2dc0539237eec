import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { randomInt } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { findKeptReports, type KeptReports } from './support/kept-reports.js';
import { startServiceUnderFault, until, VICTIMS, type ServiceUnderFault } from './support/service-under-fault.js';
import type { Victim } from './support/service-under-fault.js';
import { enterWearers } from './support/wearers.js';
import { WriteLoop, type WriteLoopRecord } from './support/write-loop.js';

const ROUNDS = 10;
const CLIENTS = 6;
/** Up to this long passes before the next kill. */
const PAUSE_MS = 800;
/** About 40 s on a machine of its own; here the cores may be shared. */
const PATIENCE_MS = 300_000;

function inAnyOrder<T>(things: readonly T[]): T[] {
  return things
    .map((thing) => [randomInt(1_000_000), thing] as const)
    .sort(([a], [b]) => a - b)
    .map(([, thing]) => thing);
}

function describeTimes(milliseconds: readonly number[]): string {
  const sorted = [...milliseconds].sort((a, b) => a - b);
  const seconds = (time = 0): string => `${(time / 1000).toFixed(1)} s`;
  return `${sorted.length} times, median ${seconds(sorted[Math.floor(sorted.length / 2)])}, longest ${seconds(sorted.at(-1))}`;
}

describe('a service whose processes are killed while people report', () => {
  let service: ServiceUnderFault;
  let loop: WriteLoop | undefined;
  let record: WriteLoopRecord;
  let kept: KeptReports;
  const kills: Victim[] = [];
  const recoveries: Readonly<Record<Victim, number[]>> = { api: [], worker: [], database: [] };

  const look = async (): Promise<KeptReports> => {
    const database = await service.connect();
    try {
      return await findKeptReports(database, record.acknowledged);
    } finally {
      await database.end();
    }
  };

  beforeAll(async () => {
    service = await startServiceUnderFault();
    const writing = (loop = new WriteLoop({ address: service.address, cookies: await enterWearers(service, CLIENTS) }));
    await until('the first report is acknowledged', () => writing.answersSince(0));

    const back = new Map<Victim, Promise<unknown>>();
    const comesBack = async (victim: Victim, before: number, killed: number): Promise<void> => {
      await until(`the ${victim} runs again`, () => service.processOf(victim) !== before);
      // Nobody who reports waits for the worker.
      if (victim !== 'worker') await until('reports are acknowledged again', () => writing.answersSince(killed));
      recoveries[victim].push(performance.now() - killed);
    };
    for (let round = 0; round < ROUNDS; round += 1) {
      for (const victim of inAnyOrder(VICTIMS)) {
        // In every third round the next one is hit while the others are still coming back.
        await (round % 3 === 2 ? back.get(victim) : Promise.all(back.values()));
        await sleep(randomInt(PAUSE_MS));
        const before = service.processOf(victim);
        const killed = await service.kill(victim);
        kills.push(victim);
        const coming = comesBack(victim, before, killed);
        // Waited for further down; a failure meanwhile must not end the process.
        coming.catch(() => undefined);
        back.set(victim, coming);
      }
    }
    await Promise.all(back.values());
    record = await writing.end();
    kept = await look();
    process.stdout.write(
      [
        `${kills.length} kills; ${record.acknowledged.length} reports acknowledged, ` +
          `${record.acknowledged.filter(({ sendings }) => sendings > 1).length} of them after more than one sending`,
        `lost ${kept.lost.length}, doubled ${kept.doubled.length}, half-written ${kept.halfWritten.length}, ` +
          `unasked ${kept.unasked.length}`,
        ...VICTIMS.map((victim) => `${victim} back: ${describeTimes(recoveries[victim])}`),
        `what the clients met meanwhile: ${JSON.stringify(record.troubles)}\n`,
      ].join('\n'),
    );
  }, PATIENCE_MS);

  afterAll(async () => {
    loop?.abandon();
    await service?.stop();
  });

  it('brings each of them back by itself, ten times', () => {
    for (const victim of VICTIMS) {
      expect(recoveries[victim]).toHaveLength(ROUNDS);
      expect(kills.filter((killed) => killed === victim)).toHaveLength(ROUNDS);
    }
  });

  it('was hit in the middle of reports', () => {
    expect(record.acknowledged.length).toBeGreaterThan(300);
    expect(record.acknowledged.filter(({ sendings }) => sendings > 1).length).toBeGreaterThan(ROUNDS);
  });

  it('keeps every acknowledged report, whole and once, and nothing that nobody sent', () => {
    expect(kept).toEqual({ kept: record.acknowledged.length, lost: [], doubled: [], halfWritten: [], unasked: [] });
  });

  it(
    'finds all of them again after everything was killed at once',
    async () => {
      await service.killEverything();
      service = await startServiceUnderFault({ folder: service.folder });

      expect((await look()).kept).toBe(record.acknowledged.length);
      expect((await fetch(`${service.address}/health/ready`)).status).toBe(200);
    },
    PATIENCE_MS,
  );
});
