import { migrate, startEmbeddedDatabase } from '#persistence';
import type { Config, Log } from '#platform';

/** A migrated database that the processes of the service can reach. */
export interface ServiceDatabase {
  /** As of now: see `whenMoved`. */
  readonly appUrl: string;
  readonly workerUrl: string;
  /** 32 bytes, hexadecimal. */
  readonly masterKey: string;
  /** Told when the database came back under other addresses, since its port was taken while it was down. */
  whenMoved(listener: () => void): void;
  stop(): Promise<void>;
}

/** Another database than the embedded one was named, but not all of its addresses. */
export class DatabaseAddressMissing extends Error {
  constructor(missing: readonly string[]) {
    super(
      `With DATABASE_URL the service also needs ${missing.join(' and ')}: each part of it signs in to the database with a role of its own.`,
    );
    this.name = 'DatabaseAddressMissing';
  }
}

/** Opens the database that the configuration names, or starts the embedded one, and brings it to the newest schema. */
export async function openServiceDatabase(
  { database, dataFolder, masterKey }: Config,
  log: Log,
): Promise<ServiceDatabase> {
  const { app, worker, migration } = database;
  if (app === null && worker === null && migration === null) {
    let port: number | null = null;
    let moved: () => void = () => undefined;
    const embedded = await startEmbeddedDatabase({
      folder: dataFolder,
      onEvent: (event) => {
        if ('port' in event) {
          const before = port;
          port = event.port;
          if (before !== null && before !== port) moved();
        }
        if (event.kind === 'failing') log.error('database-failing');
        else log.info(`database-${event.kind}`, 'pid' in event ? { processId: event.pid } : {});
      },
    });
    await migrate({ url: embedded.ownerUrl });
    return {
      get appUrl() {
        return embedded.appUrl;
      },
      get workerUrl() {
        return embedded.workerUrl;
      },
      masterKey: embedded.masterKey,
      whenMoved: (listener) => {
        moved = listener;
      },
      stop: () => embedded.stop(),
    };
  }
  if (app === null || worker === null || migration === null || masterKey === null) {
    throw new DatabaseAddressMissing(
      Object.entries({
        DATABASE_URL: app,
        WORKER_DATABASE_URL: worker,
        MIGRATION_DATABASE_URL: migration,
        'MASTER_KEY or MASTER_KEY_FILE': masterKey,
      })
        .filter(([, value]) => value === null)
        .map(([key]) => key),
    );
  }
  await migrate({ url: migration });
  return {
    appUrl: app,
    workerUrl: worker,
    masterKey: masterKey.toString('hex'),
    whenMoved: () => undefined,
    stop: async () => undefined,
  };
}
