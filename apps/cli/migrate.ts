import { parseArgs } from 'node:util';
import { migrate, prepareDatabase } from '#persistence';
import { config, ConfigurationError } from '#platform';

/**
 * Brings the database of MIGRATION_DATABASE_URL to the newest schema; for whoever starts the processes one by one. With
 * `--roles` it first makes the roles and their logins, for which that address has to be a superuser's.
 */
try {
  const { values } = parseArgs({ options: { roles: { type: 'boolean', default: false } } });
  const { migration, app, worker } = config().database;
  if (migration === null) {
    throw new ConfigurationError('MIGRATION_DATABASE_URL', 'the address of the database for its owner');
  }
  if (values.roles) {
    if (app === null) throw new ConfigurationError('DATABASE_URL', 'the address for the role innerglove_app');
    if (worker === null) throw new ConfigurationError('WORKER_DATABASE_URL', 'the address for innerglove_worker');
    await prepareDatabase({ url: migration, appUrl: app, workerUrl: worker });
  }
  const steps = await migrate({ url: migration });
  process.stdout.write(`${JSON.stringify({ migrations: steps })}\n`);
} catch (error) {
  process.stderr.write(`The database was not migrated. ${error instanceof Error ? error.message : String(error)}\n`);
  process.exit(1);
}
