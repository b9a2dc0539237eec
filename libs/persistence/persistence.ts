import type { DataSource } from 'typeorm';
import { PostgresAccountDirectory, type SessionLimits } from './account-directory.js';
import { createDataSource, type DataSourceConfig } from './data-source.js';
import { PostgresDueIndex } from './due-index.js';
import { WakeUps } from './jobs/wake-ups.js';
import { readMasterKey } from './sealing/envelope.js';
import { PostgresSiteDirectory } from './site-directory.js';
import { PostgresUnitOfWork } from './unit-of-work/postgres-unit-of-work.js';

export interface PersistenceOptions {
  /** 64 hexadecimal digits; never from the database. */
  readonly masterKey: string;
  readonly sessions?: SessionLimits;
}

/** Everything that the application's ports are bound to. */
export interface Persistence {
  readonly dataSource: DataSource;
  readonly unitOfWork: PostgresUnitOfWork;
  readonly accountDirectory: PostgresAccountDirectory;
  readonly siteDirectory: PostgresSiteDirectory;
  /** Of use to the worker's connection only. */
  readonly dueIndex: PostgresDueIndex;
  /** Stops what runs in the background; the connection too where it was opened here. */
  close(): Promise<void>;
}

/** The ports over a connection that somebody else opens and closes. */
export function persistenceOver(dataSource: DataSource, { masterKey, sessions }: PersistenceOptions): Persistence {
  const wakeUps = new WakeUps(urlOf(dataSource));
  const unitOfWork = new PostgresUnitOfWork(dataSource, readMasterKey(masterKey), wakeUps);
  return {
    dataSource,
    unitOfWork,
    accountDirectory: new PostgresAccountDirectory(dataSource, sessions),
    siteDirectory: new PostgresSiteDirectory(dataSource),
    dueIndex: new PostgresDueIndex(dataSource),
    close: () => wakeUps.stop(),
  };
}

function urlOf({ options }: DataSource): string {
  if ('url' in options && typeof options.url === 'string') return options.url;
  throw new TypeError('The connection was not described by createDataSource.');
}

/** The ports over a connection of their own. */
export async function createPersistence(options: PersistenceOptions & DataSourceConfig): Promise<Persistence> {
  const dataSource = await createDataSource(options).initialize();
  const persistence = persistenceOver(dataSource, options);
  return {
    ...persistence,
    close: async () => {
      await persistence.close();
      await dataSource.destroy();
    },
  };
}
