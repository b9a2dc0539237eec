import { migrate } from '#persistence';
import { config, ConfigurationError } from '#platform';

/** Brings the database of MIGRATION_DATABASE_URL to the newest schema; for whoever starts the processes one by one. */
try {
  const url = config().database.migration;
  if (url === null) throw new ConfigurationError('MIGRATION_DATABASE_URL', 'the address of the database for its owner');
  const steps = await migrate({ url });
  process.stdout.write(`${JSON.stringify({ migrations: steps })}\n`);
} catch (error) {
  process.stderr.write(`The database was not migrated. ${error instanceof Error ? error.message : String(error)}\n`);
  process.exit(1);
}
