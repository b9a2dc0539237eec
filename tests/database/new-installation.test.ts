import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { setTimeout as sleep } from 'node:timers/promises';
import pg from 'pg';
import { createPersistence } from '#persistence';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { acceptedReport } from '../support/builders/report.js';
import { enterSite, type TestSite } from '../support/builders/site.js';

const REPORTS = 120;

let database: TestDatabase;
let admin: pg.Client;
let site: TestSite;

beforeAll(async () => {
  // Statistics can be given from outside since PostgreSQL 18 only.
  database = await createTestDatabase({ postgres: 'embedded' });
  admin = new pg.Client({ connectionString: database.adminUrl });
  await admin.connect();
  // A busy machine's autovacuum must not come to help in the middle.
  const { rows } = await admin.query<{ name: string }>(
    `select relname as name from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r'`,
  );
  for (const { name } of rows) await admin.query(`alter table "${name}" set (autovacuum_enabled = false)`);
  const persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterSite(persistence.unitOfWork);
  await persistence.close();
});

afterAll(async () => {
  await admin.end();
  await database.drop();
});

/** A connection tells its last figures while it ends, which the server does after the client has gone. */
async function lastFiguresTold(): Promise<void> {
  for (;;) {
    const { rows } = await admin.query<{ open: boolean }>(
      `select exists (select from pg_stat_activity
                      where datname = current_database() and usename = 'innerglove_app') as open`,
    );
    if (!rows[0]?.open) return;
    await sleep(20);
  }
}

/** The most rows that any index was read for, a scan, while reports came in on new connections. */
async function mostRowsRead(): Promise<{ index: string; rows: number }> {
  await admin.query('select pg_stat_reset()');
  const persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey, poolSize: 1 });
  for (let count = 0; count < REPORTS; count += 1) {
    await persistence.unitOfWork.run(site.wearer.actor, (tx) => tx.incidents.accept(acceptedReport(site)));
  }
  await persistence.close();
  await lastFiguresTold();
  const { rows } = await admin.query<{ index: string; rows: number }>(
    `select indexrelname as index, (idx_tup_read::float / idx_scan) as rows
     from pg_stat_user_indexes where schemaname = 'public' and idx_scan > 0
     union all
     select relname, (seq_tup_read::float / seq_scan) from pg_stat_user_tables
     where schemaname = 'public' and seq_scan > 0
     order by 2 desc limit 1`,
  );
  const [most] = rows;
  if (!most) throw new Error('Reports are stored by reading indexes.');
  return most;
}

describe('a new installation', () => {
  it('reads one row for each check of a foreign key, from the first report on', async () => {
    expect((await mostRowsRead()).rows).toBeLessThanOrEqual(1.01);
  });

  it('would read a whole site for each without the first statistics: the test can fail', async () => {
    await admin.query(`
      select pg_clear_attribute_stats('public', c.relname, a.attname, false)
      from pg_class c join pg_attribute a on a.attrelid = c.oid
      where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped`);
    expect((await mostRowsRead()).rows).toBeGreaterThan(REPORTS / 2);
  });
});
