import 'reflect-metadata';
import { randomBytes } from 'node:crypto';
import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { Argon2PasswordHasher } from '#access';
import { PdfLetterWriter } from '#letters';
import { createPersistence, startEmbeddedDatabase } from '#persistence';
import { config, ConfigurationError, createLog, endInOrder, nodeVersionNotice } from '#platform';
import { loadRulebook } from '#rulebook';
import { ADMINISTRATOR_LOGIN, HOSPITAL, SIGN_INS } from './demo/hospital.js';
import { seedDemo, type SeededDemo } from './demo/seed-demo.js';
import { openServiceDatabase, type ServiceDatabase } from './service/service-database.js';
import { DidNotStart } from './service/supervised-process.js';
import { startService } from './service/start-service.js';

const SEED = 'westmere';

/** Faults that the person at the terminal can mend: told in one sentence, without a stack. */
class DemoRefused extends Error {}
const TOLD = [ConfigurationError, DemoRefused, DidNotStart];

/** Every demo begins anew: what the one before left is removed, unless it still runs. */
async function clear(folder: string): Promise<void> {
  if (!existsSync(folder)) return;
  const before = await startEmbeddedDatabase({ folder });
  await before.stop();
  if (isAlive(before.pid())) {
    throw new DemoRefused(`A demo runs in ${folder} already. End it first, or set DATA_FOLDER to another folder.`);
  }
  rmSync(folder, { recursive: true, force: true });
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

async function seed({ appUrl, masterKey }: ServiceDatabase, password: string): Promise<SeededDemo> {
  const persistence = await createPersistence({ url: appUrl, masterKey, applicationName: 'innerglove-demo' });
  try {
    return await seedDemo(
      {
        work: persistence.unitOfWork,
        directory: persistence.accountDirectory,
        sites: persistence.siteDirectory,
        hasher: new Argon2PasswordHasher(),
        rulebook: loadRulebook(),
        writer: new PdfLetterWriter(),
      },
      { seed: SEED, now: new Date().toISOString(), password },
    );
  } finally {
    await persistence.close();
  }
}

function greeting(address: string, password: string, { people, uses, cases }: SeededDemo): string {
  const logins = [...SIGN_INS, { login: ADMINISTRATOR_LOGIN, role: 'administrator', name: '' }];
  const widest = Math.max(...logins.map(({ login }) => login.length));
  return [
    `Innerglove is ready: ${address}`,
    '',
    `${HOSPITAL.name} is invented, and so is everybody in it: ${people} people, ${uses} uses, ${cases} incidents, four months.`,
    'Sign in as one of these:',
    ...logins.map(({ login, role, name }) => `  ${login.padEnd(widest)}  ${role}${name ? `, ${name}` : ''}`),
    `Password of all of them: ${password}`,
    '',
    'The next start begins anew. Nothing here may hold real people: end with Ctrl-C.',
    '',
  ].join('\n');
}

const notice = nodeVersionNotice();
if (notice) process.stderr.write(`${notice}\n`);

try {
  const settings = config();
  if (Object.values(settings.database).some((url) => url !== null)) {
    throw new DemoRefused('The demo fills an embedded database of its own: leave DATABASE_URL out.');
  }
  const folder = join(settings.dataFolder, 'demo');
  // The demo's own lines are to be read; those of a service that starts as it should are not.
  const logLevel = settings.logLevel === 'info' ? 'warn' : settings.logLevel;
  const log = createLog(logLevel);
  const demo = { ...settings, dataFolder: folder, logLevel };
  const password = settings.demoPassword ?? randomBytes(12).toString('base64url');
  await clear(folder);
  const database = await openServiceDatabase(demo, log);
  try {
    const seeded = await seed(database, password);
    const service = await startService({ config: demo, database, log });
    endInOrder(log, async () => {
      await service.stop();
      await database.stop();
    });
    process.stdout.write(greeting(service.address, password, seeded));
  } catch (error) {
    await database.stop();
    throw error;
  }
} catch (error) {
  const told = TOLD.some((kind) => error instanceof kind);
  process.stderr.write(
    `The demo did not start. ${told ? (error as Error).message : String((error as Error)?.stack)}\n`,
  );
  process.exit(1);
}
