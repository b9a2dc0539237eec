import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { startServiceUnderFault, type ServiceUnderFault } from './support/service-under-fault.js';
import { enterWearers } from './support/wearers.js';

const PATIENCE_MS = 120_000;

describe('a service that is started with another master key', () => {
  let service: ServiceUnderFault;

  beforeAll(async () => {
    service = await startServiceUnderFault();
    await enterWearers(service, 1);
    await service.end();
  }, PATIENCE_MS);

  afterAll(() => service?.stop());

  it(
    'does not start, says why, and starts with the right one',
    async () => {
      const { folder } = service;
      const file = join(folder, 'master.key');
      const key = await readFile(file, 'utf8');
      await writeFile(file, `${randomBytes(32).toString('hex')}\n`);

      await expect(startServiceUnderFault({ folder })).rejects.toThrow(/"name":"WrongMasterKey"[^]*did not start/);
      expect(existsSync(join(folder, 'cluster', 'postmaster.pid'))).toBe(false);

      await writeFile(file, key);
      service = await startServiceUnderFault({ folder });
      expect((await fetch(`${service.address}/health/ready`)).status).toBe(200);
    },
    PATIENCE_MS,
  );
});
