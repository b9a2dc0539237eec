import pg from 'pg';
import { DataSource } from 'typeorm';
import { migrations } from '../../../migrations/index.js';
import { readRoles } from './roles.js';

/** Any constant would do; it is ours for ever, so that old and new versions exclude each other. */
const LOCK = 4_711_200_341;

export interface MigrateOptions {
  /** The owner's URL, or one of a role that may become the owner. */
  readonly url: string;
}

/**
 * Brings a database to the newest schema and returns the names of the steps it took. Of two callers at the same moment
 * one waits for the other. Everything is made by, and belongs to, `innerglove_owner`.
 */
export async function migrate({ url }: MigrateOptions): Promise<string[]> {
  return withMigrations(url, async (source) => {
    const done = await source.runMigrations({ transaction: 'each' });
    return done.map(({ name }) => name);
  });
}

/** Takes the newest `steps` migrations back. Refuses where rows would be lost, unless told that they may be. */
export async function revert({
  url,
  steps,
  losingRows = false,
}: MigrateOptions & { readonly steps: number; readonly losingRows?: boolean }): Promise<void> {
  await withMigrations(url, async (source) => {
    if (!losingRows) await refuseIfFilled(source);
    for (let step = 0; step < steps; step += 1) await source.undoLastMigration({ transaction: 'each' });
  });
}

async function withMigrations<T>(url: string, work: (source: DataSource) => Promise<T>): Promise<T> {
  const lock = new pg.Client({ connectionString: url });
  await lock.connect();
  try {
    await lock.query('select pg_advisory_lock($1)', [LOCK]);
    await ensureRoles(lock);
    const source = new DataSource({
      type: 'postgres',
      url,
      migrations,
      migrationsTableName: 'schema_migration',
      installExtensions: false,
      logging: false,
      poolSize: 2,
      extra: { options: '-c role=innerglove_owner' },
    });
    await source.initialize();
    try {
      return await work(source);
    } finally {
      await source.destroy();
    }
  } finally {
    // The lock goes with the connection.
    await lock.end();
  }
}

async function ensureRoles(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ missing: number; owns: boolean }>(`
    select 4 - count(*)::integer as missing,
      coalesce(bool_or(pg_has_role(session_user, oid, 'member')) filter (where rolname = 'innerglove_owner'), false) as owns
    from pg_roles
    where rolname in ('innerglove_owner', 'innerglove_app', 'innerglove_worker', 'innerglove_manager')`);
  const found = rows[0];
  if (found && found.missing === 0 && found.owns) return;
  try {
    await client.query(await readRoles());
    await client.query('grant innerglove_owner to current_user');
  } catch (cause) {
    throw new Error(
      'The database roles are missing and this login may not make them: run migrations/roles.sql as a superuser, and ' +
        'grant innerglove_owner to the role of MIGRATION_DATABASE_URL.',
      { cause },
    );
  }
}

async function refuseIfFilled(source: DataSource): Promise<void> {
  const tables: { name: string }[] = await source.query(
    `select c.relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where n.nspname = 'public' and c.relkind = 'r' and c.relname <> 'schema_migration' and c.relforcerowsecurity`,
  );
  for (const { name } of tables) {
    // The owner is held by row security like everybody, so rows are counted with it off, inside a transaction.
    const [counted] = await source.transaction(async (manager) => {
      await manager.query(`alter table "${name}" no force row level security`);
      const rows: { filled: boolean }[] = await manager.query(`select exists (select from "${name}") as filled`);
      await manager.query(`alter table "${name}" force row level security`);
      return rows;
    });
    if (counted?.filled) throw new Error(`Taking the schema back would lose the rows of ${name}.`);
  }
}
