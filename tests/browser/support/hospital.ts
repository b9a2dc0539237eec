import 'reflect-metadata';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { FileSetupTokens } from '#access';
import { createLog, readConfig } from '#platform';
import { ApiModule } from '../../../apps/api/api.module.js';
import { createApi } from '../../../apps/api/create-api.js';
import { productionPorts } from '../../../apps/api/production-ports.js';
import { aSetup, PASSWORD, PEOPLE } from '../../api/support/site-in-use.js';
import { createTestDatabase } from '../../support/database.js';

const WEB_FOLDER = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', 'dist', 'web');

/** The whole service at an address, pages included, with a person for every part. */
export interface Hospital {
  readonly address: string;
  /** Takes the service off the network, and brings it back at the same address over the same database. */
  goDown(): Promise<void>;
  comeBack(): Promise<void>;
  close(): Promise<void>;
}

/** The service on a new database. Nobody has set it up yet; `setupToken` does it once. */
export async function openUnset(): Promise<Hospital & { readonly setupToken: string }> {
  if (!existsSync(join(WEB_FOLDER, 'index.html'))) throw new Error('These tests need the built pages: npm run build.');
  const database = await createTestDatabase();
  const folder = await mkdtemp(join(tmpdir(), 'innerglove-browser-'));
  const tokens = new FileSetupTokens(folder);
  const settings = readConfig({ DATABASE_URL: database.appUrl, MASTER_KEY: database.masterKey, DATA_FOLDER: folder });

  const listen = async (port: number) => {
    const { app } = await createApi({
      module: ApiModule.over(productionPorts(settings, tokens)),
      log: createLog('error', (line) => void process.stderr.write(line)),
      webFolder: WEB_FOLDER,
    });
    await app.listen(port, '127.0.0.1');
    return app;
  };
  let app: Awaited<ReturnType<typeof listen>> | null = await listen(0);
  const { port } = app.getHttpServer().address() as AddressInfo;

  const goDown = async () => {
    await app?.close();
    app = null;
  };
  return {
    address: `http://127.0.0.1:${port}`,
    setupToken: await tokens.issue(),
    goDown,
    comeBack: async () => {
      app ??= await listen(port);
    },
    close: async () => {
      await goDown();
      await database.drop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A hospital in use: two units, and everybody of `PEOPLE` with an account. */
export async function openHospital(): Promise<Hospital> {
  const { setupToken, ...hospital } = await openUnset();
  const post = async (path: string, body: object, cookie = ''): Promise<Response> => {
    const response = await fetch(`${hospital.address}/api/v1${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie },
      body: JSON.stringify(body),
    });
    if (!response.ok) throw new Error(`${path} answered ${response.status}: ${await response.text()}`);
    return response;
  };
  const { units } = (await (await post('/setup', aSetup(setupToken))).json()) as {
    units: { unitId: string; name: string }[];
  };
  const session = await post('/session', { login: 'administrator', password: PASSWORD });
  const cookie = session.headers.get('set-cookie')?.split(';')[0] ?? '';
  for (const { name, staffNumber, dateOfBirth, login, role, unit } of Object.values(PEOPLE)) {
    const unitId = units.find((each) => each.name === unit)?.unitId;
    await post(
      '/people',
      {
        name,
        staffNumber,
        dateOfBirth,
        telephone: '555 0100',
        unitId,
        job: 'Nurse',
        account: { login, password: PASSWORD, role, ...(role === 'manager' ? { unitIds: [unitId] } : {}) },
      },
      cookie,
    );
  }
  return hospital;
}
