import { DataSource } from 'typeorm';
import { entities } from './entities/index.js';

export interface DataSourceConfig {
  readonly url: string;
  /** Connections of this process. */
  readonly poolSize?: number;
  /** Shown to whoever runs the database. */
  readonly applicationName?: string;
  /** Milliseconds after which the database ends a statement; a request must not hang. */
  readonly statementTimeout?: number;
}

/**
 * Describes the connection; `initialize()` opens it. Nothing is created or changed by it at run time, and no query is
 * logged, since its parameters hold what people reported.
 */
export function createDataSource({
  url,
  poolSize = 10,
  applicationName = 'innerglove',
  statementTimeout = 5_000,
}: DataSourceConfig): DataSource {
  return new DataSource({
    type: 'postgres',
    url,
    entities,
    synchronize: false,
    migrationsRun: false,
    installExtensions: false,
    logging: false,
    poolSize,
    applicationName,
    connectTimeoutMS: 5_000,
    extra: {
      statement_timeout: statementTimeout,
      lock_timeout: 2_000,
      idle_in_transaction_session_timeout: 10_000,
      // Every statement has an index. Plans that are kept were made when tables were almost empty, and reading such a
      // table whole looks cheapest then: without this they would go on reading it whole as it grows.
      options: '-c enable_seqscan=off',
      // A connection that was cut by a restart of the database is noticed here, not in the next request.
      keepAlive: true,
    },
    poolErrorHandler: () => undefined,
  });
}
