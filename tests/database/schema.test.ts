import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { readFile } from 'node:fs/promises';
import pg from 'pg';
import { createDataSource, createPersistence, describeSchema, migrate, revert } from '#persistence';
import { migrations } from '../../migrations/index.js';
import { createTestDatabase, hasPostgres15, type TestDatabase, type TestPostgres } from '../support/database.js';
import { enterSite } from '../support/builders/site.js';

const committed = () => readFile(new URL('../../migrations/schema.sql', import.meta.url), 'utf8');
const servers: TestPostgres[] = hasPostgres15() ? ['embedded', '15'] : ['embedded'];

describe.each(servers)('the migrations on PostgreSQL (%s)', (postgres) => {
  let database: TestDatabase;

  beforeAll(async () => {
    database = await createTestDatabase({ postgres, empty: true });
  });

  afterAll(() => database.drop());

  it('go up, down and up again, and leave the schema that is committed', async () => {
    const names = await migrate({ url: database.ownerUrl });
    expect(names).toHaveLength(migrations.length);
    const first = await describeSchema(database.ownerUrl);
    await revert({ url: database.ownerUrl, steps: migrations.length });
    const rest = await ask(`select relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
      where n.nspname in ('public', 'pgboss') and relkind in ('r', 'p', 'v', 'S') and relname not like 'schema_migration%'
      union all select proname from pg_proc p join pg_namespace n on n.oid = p.pronamespace where nspname = 'public'`);
    expect(rest).toEqual([]);
    await migrate({ url: database.ownerUrl });
    const second = await describeSchema(database.ownerUrl);
    expect(second).toBe(first);
    expect(second).toBe(await committed());
  });

  it('have nothing to do the second time', async () => {
    expect(await migrate({ url: database.ownerUrl })).toEqual([]);
  });

  it('wait for each other when two start at once', async () => {
    const fresh = await createTestDatabase({ postgres, empty: true });
    const taken = await Promise.all([1, 2, 3].map(() => migrate({ url: fresh.ownerUrl })));
    await fresh.drop();
    expect(taken.map((names) => names.length).sort()).toEqual([0, 0, migrations.length]);
  });

  it('can be run by an administrator too, and still belong to the owner', async () => {
    const fresh = await createTestDatabase({ postgres, empty: true });
    await migrate({ url: fresh.adminUrl });
    const described = await describeSchema(fresh.ownerUrl);
    const client = new pg.Client({ connectionString: fresh.ownerUrl });
    await client.connect();
    const { rows } = await client.query<{ owner: string }>(
      `select distinct tableowner as owner from pg_tables where schemaname in ('public', 'pgboss')`,
    );
    await client.end();
    await fresh.drop();
    expect(rows).toEqual([{ owner: 'innerglove_owner' }]);
    expect(described).toBe(await committed());
  });

  it('refuse to be taken back where rows would be lost', async () => {
    const fresh = await createTestDatabase({ postgres });
    const persistence = await createPersistence({ url: fresh.appUrl, masterKey: fresh.masterKey });
    await enterSite(persistence.unitOfWork);
    await persistence.close();
    await expect(revert({ url: fresh.ownerUrl, steps: 1 })).rejects.toThrow(/would lose the rows of/);
    await revert({ url: fresh.ownerUrl, steps: 1, losingRows: true });
    await fresh.drop();
  });

  it('leave nothing that the mapper would still create or change', async () => {
    expect(await statementsLeft()).toEqual([]);
    // The comparison sees what it is meant to see.
    await ask('drop index incident_queue_idx');
    await ask('alter table reading alter column value set not null');
    const left = await statementsLeft();
    await ask('create index incident_queue_idx on incident (site_id, state, urgency, reported_at, incident_id)');
    await ask('alter table reading alter column value drop not null');
    expect(left.join('\n')).toMatch(/incident_queue_idx/);
    expect(left.join('\n')).toMatch(/"reading"/);
    expect(await statementsLeft()).toEqual([]);
  });

  it('begin every key of a site’s table with the site', async () => {
    const keys = await ask(`
      select format('%s (%s)', i.indexrelid::regclass, a.attname) as name
      from pg_index i join pg_class c on c.oid = i.indrelid join pg_namespace n on n.oid = c.relnamespace
      join pg_attribute a on a.attrelid = c.oid and a.attnum = i.indkey[0]
      where n.nspname = 'public' and i.indisunique and a.attname <> 'site_id' and c.relname <> 'schema_migration'
      order by 1`);
    // Two directories, asked before the site is known: which sites there are, and whose a login is.
    expect(keys).toEqual(['account_login_pkey (login)', 'site_slug_key (slug)']);
  });

  it('give the roles no way around row security', async () => {
    const roles = await ask(`
      select rolname as name from pg_roles
      where rolname in ('innerglove_app', 'innerglove_worker', 'innerglove_manager', 'innerglove_owner')
        and not rolsuper and not rolbypassrls and not rolcreaterole and not rolcreatedb
        and rolinherit = (rolname = 'innerglove_owner')`);
    expect(roles.sort()).toEqual(['innerglove_app', 'innerglove_manager', 'innerglove_owner', 'innerglove_worker']);
    const owned = await ask(`
      select relname as name from pg_class where pg_get_userbyid(relowner) in
        ('innerglove_app', 'innerglove_worker', 'innerglove_manager')`);
    expect(owned).toEqual([]);
  });

  it('pin the search path of every function that runs with the owner’s rights, and give none of them to everybody', async () => {
    const loose = await ask(`
      select proname as name from pg_proc p join pg_namespace n on n.oid = p.pronamespace
      where n.nspname = 'public' and p.prosecdef
        and (not coalesce(p.proconfig, '{}') @> array['search_path=pg_catalog, public, pg_temp']
          or has_function_privilege('innerglove_manager', p.oid, 'execute'))`);
    expect(loose).toEqual([]);
    const definers = await ask(
      `select proname as name from pg_proc where prosecdef and pronamespace = 'public'::regnamespace`,
    );
    expect(definers.length).toBeGreaterThan(8);
  });

  it('let the owner see no row either, outside those functions', async () => {
    const fresh = await createTestDatabase({ postgres });
    const persistence = await createPersistence({ url: fresh.appUrl, masterKey: fresh.masterKey });
    await enterSite(persistence.unitOfWork);
    await persistence.close();
    const client = new pg.Client({ connectionString: fresh.ownerUrl });
    await client.connect();
    const { rows } = await client.query<{ n: number }>(
      `select (select count(*) from site) + (select count(*) from account) + (select count(*) from person) as n`,
    );
    await client.end();
    await fresh.drop();
    expect(Number(rows[0]?.n)).toBe(0);
  });

  const ask = async (text: string): Promise<string[]> => {
    const client = new pg.Client({ connectionString: database.ownerUrl });
    await client.connect();
    const { rows } = await client.query<{ name: string }>(text);
    await client.end();
    return rows.map(({ name }) => name);
  };

  const statementsLeft = async (): Promise<string[]> => {
    const source = await createDataSource({ url: database.ownerUrl, poolSize: 2 }).initialize();
    const { upQueries } = await source.driver.createSchemaBuilder().log();
    await source.destroy();
    return upQueries.map(({ query }) => query);
  };
});
