import autocannon from 'autocannon';
import { fork, type ChildProcess } from 'node:child_process';
import { rm } from 'node:fs/promises';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { v7 } from 'uuid';
import { Argon2PasswordHasher } from '#access';
import { CreatePerson, SetUpSite, SetupTokens, type Actor, type SetupClaim } from '#application';
import { createPersistence, migrate, startEmbeddedDatabase, type EmbeddedDatabase } from '#persistence';
import { loadRulebook } from '#rulebook';
import { createDataFolder } from '../support/data-folder.js';
import type { BareTask } from './bare-task.js';
import { inTurn, ratios, shown, spreadOf, type Line } from './repetitions.js';

const REPETITIONS = 5;
const SECONDS = 5;
/** Until the compilers have seen everything. */
const WARM_SECONDS = 5;
const CONNECTIONS = 10;
const PASSWORD = 'seven quiet storks at dawn';

/** Keys hold in this order. */
const TABLES = [
  'event',
  'report_receipt',
  'incident',
  'telling',
  'telling_text',
  'incident_breach',
  'incident_lapse',
  'assessment',
  'plan',
  'plan_check',
  'duty_status',
  'alert',
  'outbox',
  'ledger_entry',
  'idempotency_replay',
] as const;

class NoLink extends SetupTokens {
  override claim(): Promise<SetupClaim> {
    return Promise.resolve({ settle: () => Promise.resolve(), release: () => Promise.resolve() });
  }
}

/** A site with one wearer, who reports. */
async function openSite({ appUrl, masterKey }: EmbeddedDatabase): Promise<void> {
  const persistence = await createPersistence({ url: appUrl, masterKey });
  const { unitOfWork, accountDirectory, siteDirectory } = persistence;
  const hasher = new Argon2PasswordHasher();
  const { siteId, accountId, units } = await new SetUpSite(
    unitOfWork,
    loadRulebook(),
    siteDirectory,
    new NoLink(),
    hasher,
  ).execute({
    token: '',
    siteName: 'Bench',
    timeZone: 'Europe/London',
    units: ['Isolation unit'],
    emergency: { words: 'Call the emergency team.', telephone: '2222' },
    occupationalHealth: { telephone: '3141', email: 'occupational-health@bench.example' },
    login: 'administrator',
    password: PASSWORD,
  });
  const administrator: Actor = { siteId, role: 'administrator', accountId, personId: null, unitIds: [] };
  await new CreatePerson(unitOfWork, accountDirectory, hasher).execute(
    {
      name: 'Maren Solvik',
      staffNumber: 'W-1',
      dateOfBirth: '1990-02-03',
      unitId: units[0]?.unitId ?? '',
      job: 'Staff nurse',
      account: { login: 'wearer', password: PASSWORD, role: 'wearer' },
    },
    administrator,
  );
  await persistence.close();
}

/** A breach that is assessed as settled, with a plan of three weeks. */
function aReport(): Record<string, unknown> {
  const occurred = new Date(Date.now() - 3_600_000).toISOString();
  return {
    reportId: v7(),
    wearer: 'self',
    kind: 'breach',
    occurred: { from: occurred, timeZone: 'Europe/London' },
    stage: 'removal',
    step: 'take-off-gown',
    breaches: [{ layer: 'inner-gloves', extent: 'total', manner: 'tear' }],
    foundWhole: ['hood', 'respirator', 'visor', 'footwear-covers'],
    task: 'cleaning-spill',
    fluid: 'vomit',
    seen: {
      skinWet: 'yes',
      skinCut: 'no',
      zones: ['hands'],
      eyeSplash: 'no',
      mouthNoseSplash: 'no',
      sharpsInjury: 'no',
      brokenSkinBefore: 'no',
    },
    firstAid: [{ action: 'washed-soap-and-water', at: new Date(Date.now() - 3_000_000).toISOString() }],
    anyoneElse: 'no',
    agent: 'ebola',
    certainty: 'confirmed',
    callMe: false,
    buddy: 'Idris Pell',
    account: 'The inner glove tore at the thumb while I took off the gown.',
  };
}

type Rows = Record<string, Record<string, unknown>[]>;

async function allRows(client: pg.Client): Promise<Rows> {
  const rows: Rows = {};
  for (const table of TABLES) {
    const { rows: found } = await client.query<{ row: Record<string, unknown> }>(
      `select to_jsonb(t) as row from ${table} t`,
    );
    rows[table] = found.map(({ row }) => row);
  }
  return rows;
}

async function countRows(client: pg.Client): Promise<Record<string, number>> {
  const counts: Record<string, number> = {};
  for (const table of TABLES) {
    const { rows } = await client.query<{ n: string }>(`select count(*) as n from ${table}`);
    counts[table] = Number(rows[0]?.n);
  }
  return counts;
}

/** Columns that an INSERT may name: of everybody, or of the service's own role. */
async function insertable(client: pg.Client, forService: boolean): Promise<Record<string, string[]>> {
  const { rows } = await client.query<{ table: string; name: string }>(
    `select table_name as table, column_name as name from information_schema.columns
      where table_schema = 'public' and is_generated = 'NEVER' and is_identity = 'NO'
        and (not $2 or has_column_privilege('innerglove_app', table_name::text, column_name::text, 'insert'))
        and table_name = any ($1) order by table_name, ordinal_position`,
    [TABLES, forService],
  );
  const columns: Record<string, string[]> = {};
  for (const { table, name } of rows) (columns[table] ??= []).push(name);
  return columns;
}

interface Server {
  readonly url: string;
  stop(): Promise<void>;
}

async function launch(file: string, environment: NodeJS.ProcessEnv, task: BareTask | null): Promise<Server> {
  const child: ChildProcess = fork(fileURLToPath(new URL(file, import.meta.url)), [], {
    env: { PATH: process.env.PATH, ...environment },
    execArgv: ['--disable-warning=ExperimentalWarning'],
  });
  if (task) child.send(task as never);
  const port = await new Promise<number>((resolve, reject) => {
    child.on('message', (message: { kind?: string; port?: number }) => {
      if (message.kind === 'ready' && message.port) resolve(message.port);
    });
    child.once('exit', (code) => reject(new Error(`${file} ended with ${code}`)));
  });
  return {
    url: `http://127.0.0.1:${port}`,
    stop: async () => {
      const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
      child.kill('SIGTERM');
      await ended;
    },
  };
}

/** Accepted reports a second. */
async function load(url: string, cookie: string, seconds: number): Promise<number> {
  const result = await autocannon({
    url: `${url}/api/v1/incidents`,
    connections: CONNECTIONS,
    duration: seconds,
    requests: [
      {
        method: 'POST',
        setupRequest: (request) => ({
          ...request,
          headers: { 'content-type': 'application/json', cookie, 'idempotency-key': v7() },
          body: JSON.stringify(aReport()),
        }),
      },
    ],
  });
  if (result.non2xx > 0 || result.errors > 0)
    throw new Error(`${result.non2xx} refused, ${result.errors} failed at ${url}`);
  return result['2xx'] / result.duration;
}

export async function benchReports(): Promise<Line[]> {
  const folder = await createDataFolder('bench');
  const database = await startEmbeddedDatabase({ folder });
  const servers: Server[] = [];
  const adminUrl = database.adminUrl.replace(/[^/]*$/, 'innerglove');
  const client = new pg.Client({ connectionString: adminUrl });
  try {
    await migrate({ url: database.ownerUrl });
    await openSite(database);
    await client.connect();
    const service = await launch(
      '../../apps/api/main.js',
      {
        DATABASE_URL: database.appUrl,
        MASTER_KEY: database.masterKey,
        DATA_FOLDER: folder,
        PORT: '0',
        LOG_LEVEL: 'warn',
      },
      null,
    );
    servers.push(service);
    const signedIn = await fetch(`${service.url}/api/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ login: 'wearer', password: PASSWORD }),
    });
    const cookie = signedIn.headers.getSetCookie()[0]?.split(';')[0] ?? '';
    const session = (await signedIn.json()) as { siteId: string; accountId: string; personId: string };

    const before = await allRows(client);
    const report = aReport();
    const key = v7();
    const accepted = await fetch(`${service.url}/api/v1/incidents`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie, 'idempotency-key': key },
      body: JSON.stringify(report),
    });
    const answer = await accepted.json();
    if (accepted.status !== 201) throw new Error(`The first report was refused: ${JSON.stringify(answer)}`);
    const { rows, freshIds } = written(before, await allRows(client), String(report['reportId']), key);
    const task: Omit<BareTask, 'url' | 'kind'> = {
      rows,
      freshIds,
      columns: await insertable(client, false),
      context: session,
      answer,
    };
    // `rows` goes past row security, as a handler without tenants would; the others write under it, as the service does.
    const bareRows = await launch('./bare-server.js', {}, { ...task, kind: 'rows', url: adminUrl });
    const bareGuarded = await launch(
      './bare-server.js',
      {},
      { ...task, columns: await insertable(client, true), kind: 'guarded', url: database.appUrl },
    );
    const bareSingle = await launch('./bare-server.js', {}, { ...task, kind: 'single', url: database.appUrl });
    servers.push(bareRows, bareGuarded, bareSingle);
    const contestants = { service, bareRows, bareGuarded, bareSingle };
    for (const [name, { url }] of Object.entries(contestants)) {
      await sameRows(client, rows, () => load(url, cookie, WARM_SECONDS), name);
    }
    // As a database in use is: without statistics the planner takes every table for a small one.
    await client.query('vacuum analyze');
    const figures = await inTurn(REPETITIONS, {
      service: () => load(service.url, cookie, SECONDS),
      bareRows: () => load(bareRows.url, cookie, SECONDS),
      bareGuarded: () => load(bareGuarded.url, cookie, SECONDS),
      bareSingle: () => load(bareSingle.url, cookie, SECONDS),
    });
    const rowsEach = Object.values(rows).reduce((sum, list) => sum + list.length, 0);
    return [
      {
        what: `Report over HTTP, signed in, assessed, planned, committed (${rowsEach} rows)`,
        figure: 'a second',
        spread: shown(spreadOf(figures.service), 0),
        aim: '',
      },
      {
        what: 'Bare fastify and pg, the same rows, one prepared statement a row kind',
        figure: 'a second',
        spread: shown(spreadOf(figures.bareRows), 0),
        aim: '',
      },
      {
        what: 'The same under row security, as the service writes',
        figure: 'a second',
        spread: shown(spreadOf(figures.bareGuarded), 0),
        aim: '',
      },
      {
        what: 'Bare fastify and pg with our single statement, under row security',
        figure: 'a second',
        spread: shown(spreadOf(figures.bareSingle), 0),
        aim: '',
      },
      {
        what: 'Service to bare, a statement a row kind, past row security',
        figure: 'times as many',
        spread: shown(ratios(figures.service, figures.bareRows), 2),
        aim: '1.0 or more',
      },
      {
        what: 'Service to bare, a statement a row kind, under row security',
        figure: 'times as many',
        spread: shown(ratios(figures.service, figures.bareGuarded), 2),
        aim: '1.0 or more',
      },
      {
        what: 'Service to bare, our single statement',
        figure: 'times as many',
        spread: shown(ratios(figures.service, figures.bareSingle), 2),
        aim: '0.5 or more',
      },
    ];
  } finally {
    await client.end();
    for (const server of servers) await server.stop();
    await database.stop();
    await rm(folder, { recursive: true, force: true });
  }
}

/** The rows that one report added, its two client-made keys replaced by marks, and the ids that were new with it. */
function written(before: Rows, after: Rows, reportId: string, key: string) {
  const old = new Set(Object.values(before).flatMap((list) => list.map((row) => JSON.stringify(row))));
  const rows = Object.fromEntries(
    TABLES.map((table) => [table, (after[table] ?? []).filter((row) => !old.has(JSON.stringify(row)))] as const).filter(
      ([, list]) => list.length > 0,
    ),
  );
  const uuid = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g;
  const known = new Set(JSON.stringify(before).match(uuid));
  const [incident] = rows['incident'] ?? [];
  // Of the person, the account, the unit and the site, none of which is new with a report.
  for (const name of ['site_id', 'person_id', 'unit_id', 'reported_by_account', 'source_id'])
    known.add(String(incident?.[name]));
  for (const row of rows['duty_status'] ?? []) known.add(String(row['roster_ref']));
  const text = JSON.stringify(rows);
  const freshIds = [...new Set(text.match(uuid))].filter((id) => !known.has(id) && id !== reportId && id !== key);
  const marked = text
    .replaceAll(JSON.stringify(reportId), '"@report-id"')
    .replaceAll(JSON.stringify(key), '"@idempotency-key"');
  return { rows: JSON.parse(marked) as Rows, freshIds };
}

/** Whoever is measured must have written what the others write: counted over a warm-up. */
async function sameRows(client: pg.Client, rows: Rows, run: () => Promise<unknown>, name: string): Promise<void> {
  const before = await countRows(client);
  await run();
  // What was under way when the load ended is still being written.
  await sleep(1_000);
  const after = await countRows(client);
  const reports = (after['incident'] ?? 0) - (before['incident'] ?? 0);
  for (const table of TABLES) {
    // One person, one status: it is set again and not added to.
    if (table === 'duty_status') continue;
    const expected = reports * (rows[table]?.length ?? 0);
    const added = (after[table] ?? 0) - (before[table] ?? 0);
    if (added !== expected)
      throw new Error(`${name} added ${added} rows to ${table} for ${reports} reports, not ${expected}`);
  }
}
