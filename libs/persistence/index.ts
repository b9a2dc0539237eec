export {
  startEmbeddedDatabase,
  type EmbeddedDatabase,
  type EmbeddedDatabaseOptions,
  type SupervisorEvent,
} from './embedded/supervisor.js';
export { NoBinaries } from './embedded/binaries.js';
export { migrate, revert, type MigrateOptions } from './migrate/migrate.js';
export { describeSchema } from './migrate/describe-schema.js';
export { createDataSource, type DataSourceConfig } from './data-source.js';
