export {
  startEmbeddedDatabase,
  type EmbeddedDatabase,
  type EmbeddedDatabaseOptions,
  type SupervisorEvent,
} from './embedded/supervisor.js';
export { NoBinaries } from './embedded/binaries.js';
export { migrate, revert, type MigrateOptions } from './migrate/migrate.js';
export { prepareDatabase, RoleNotNamed, type PrepareDatabaseOptions } from './migrate/prepare-database.js';
export { describeSchema } from './migrate/describe-schema.js';
export { createDataSource, type DataSourceConfig } from './data-source.js';
export { createPersistence, persistenceOver, type Persistence, type PersistenceOptions } from './persistence.js';
export { PostgresUnitOfWork } from './unit-of-work/postgres-unit-of-work.js';
export { PostgresAccountDirectory, type SessionLimits } from './account-directory.js';
export { PostgresDueIndex } from './due-index.js';
export { PostgresSiteDirectory } from './site-directory.js';
export { JOB_SETTINGS } from './jobs/wake-ups.js';
export { checkDurability, Durability, type DurabilityFinding } from './durability.js';
export { PersistenceModule } from './persistence.module.js';
export { DatabaseRefusal, DatabaseUnavailable } from './failures.js';
