import { spawn } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { migrate, startEmbeddedDatabase, type EmbeddedDatabase } from '#persistence';
import { Users } from '../../libs/persistence/embedded/users.js';

/** A migrated, empty database of its own for one test file. */
export interface TestDatabase {
  readonly adminUrl: string;
  readonly ownerUrl: string;
  readonly appUrl: string;
  readonly workerUrl: string;
  readonly masterKey: string;
  drop(): Promise<void>;
}

/** Which PostgreSQL the tests run on: the embedded one, or the machine's own 15. */
export type TestPostgres = 'embedded' | '15';

export interface TestDatabaseOptions {
  readonly postgres?: TestPostgres;
  /** Without any table: for the tests of the migrations themselves. */
  readonly empty?: boolean;
}

/** Where Debian and its relatives put PostgreSQL 15. */
export const POSTGRES_15 = '/usr/lib/postgresql/15/bin';
export const hasPostgres15 = (): boolean => existsSync(join(POSTGRES_15, 'initdb'));

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');

/**
 * One server for everything that runs on this machine, started by the first who needs it, and a copy of a migrated
 * template for each caller. A process of its own stops the server and removes it once nobody has used it for a while.
 */
export async function createTestDatabase({
  postgres = process.env.TEST_POSTGRES === '15' ? '15' : 'embedded',
  empty = false,
}: TestDatabaseOptions = {}): Promise<TestDatabase> {
  const server = await shareServer(postgres);
  const admin = new pg.Client({ connectionString: server.adminUrl });
  await admin.connect();
  const template = empty ? 'template1' : await ensureTemplate(server, admin);
  const name = `test_${randomBytes(6).toString('hex')}`;
  await admin.query(`create database ${name} template ${template} owner innerglove_owner`);
  await admin.end();
  const at = (url: string): string => url.replace(/[^/]+$/, name);
  return {
    adminUrl: at(server.adminUrl),
    ownerUrl: at(server.ownerUrl),
    appUrl: at(server.appUrl),
    workerUrl: at(server.workerUrl),
    masterKey: server.masterKey,
    drop: async () => {
      const client = new pg.Client({ connectionString: server.adminUrl });
      await client.connect();
      await client.query(`drop database if exists ${name} with (force)`);
      await client.end();
      await server.leave();
    },
  };
}

async function shareServer(postgres: TestPostgres): Promise<EmbeddedDatabase> {
  // The roles are the cluster's: another text of them gets another cluster, as does another checkout.
  const roles = await readFile(join(root, 'migrations', 'roles.sql'));
  const cluster = createHash('sha256').update(root).update(roles).digest('hex').slice(0, 8);
  const folder = join(tmpdir(), `innerglove-test-${cluster}-${postgres}`);
  await mkdir(folder, { recursive: true, mode: 0o755 });
  // For as long as this process lives, whatever test file it runs.
  await new Users(folder).enter();
  const server = await startEmbeddedDatabase({ folder, ...(postgres === '15' ? { binaries: POSTGRES_15 } : {}) });
  spawn(process.execPath, [join(root, 'tests/support/stop-when-unused.mjs'), folder], {
    detached: true,
    stdio: 'ignore',
  }).unref();
  return server;
}

/** Named by what the migrations say, so that a changed migration gets a new template. */
async function ensureTemplate(server: EmbeddedDatabase, admin: pg.Client): Promise<string> {
  const hash = createHash('sha256');
  const folder = join(root, 'migrations');
  for (const file of (await readdir(folder)).sort()) {
    if (/\.(ts|js)$|^roles\.sql$/.test(file)) hash.update(await readFile(join(folder, file)));
  }
  const name = `template_${hash.digest('hex').slice(0, 12)}`;
  await admin.query('select pg_advisory_lock(1)');
  try {
    const { rowCount } = await admin.query('select from pg_database where datname = $1', [name]);
    if (rowCount === 0) {
      const draft = `${name}_draft`;
      await admin.query(`drop database if exists ${draft} with (force)`);
      await admin.query(`create database ${draft} owner innerglove_owner`);
      await migrate({ url: server.ownerUrl.replace(/[^/]+$/, draft) });
      await admin.query(`alter database ${draft} rename to ${name}`);
    }
    return name;
  } finally {
    await admin.query('select pg_advisory_unlock(1)');
  }
}
