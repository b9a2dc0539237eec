import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { readFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:net';
import { join } from 'node:path';
import { startServiceUnderFault, until, type ServiceUnderFault } from './support/service-under-fault.js';
import { enterWearers } from './support/wearers.js';
import { WriteLoop } from './support/write-loop.js';

const PATIENCE_MS = 120_000;

/** Takes the port as soon as its owner is gone; null when the owner is back already. */
async function take(port: number): Promise<Server> {
  for (;;) {
    const server = createServer((socket) => socket.destroy());
    const taken = await new Promise<boolean>((resolve) => {
      server.once('error', () => resolve(false));
      server.listen(port, '127.0.0.1', () => resolve(true));
    });
    if (taken) return server;
  }
}

describe('a database whose port is taken while it is down', () => {
  let service: ServiceUnderFault;
  let intruder: Server | undefined;
  let loop: WriteLoop | undefined;

  beforeEach(async () => {
    service = await startServiceUnderFault();
  }, PATIENCE_MS);

  afterEach(async () => {
    loop?.abandon();
    intruder?.close();
    await service.stop();
  });

  it(
    'comes back on another one, and API and worker find it',
    async () => {
      const portOf = async (): Promise<number> => Number(await readFile(join(service.folder, 'port'), 'utf8'));
      const writing = (loop = new WriteLoop({ address: service.address, cookies: await enterWearers(service, 2) }));
      await until('a report is acknowledged', () => writing.answersSince(0));
      const before = await portOf();
      const workerBefore = service.processOf('worker');

      const killed = await service.kill('database');
      intruder = await take(before);
      await until('the database has moved', async () => (await portOf()) !== before);
      await until('reports are acknowledged again', () => writing.answersSince(killed), 30);
      await until('the worker was told', () => service.processOf('worker') !== workerBefore);

      expect((await fetch(`${service.address}/health/ready`)).status).toBe(200);
    },
    PATIENCE_MS,
  );
});
