import { PgBoss } from 'pg-boss';
import type { QueryRunner } from 'typeorm';

/** The job library's settings wherever it runs: its tables are made by a migration, and it may not alter them. */
export const JOB_SETTINGS = {
  schema: 'pgboss',
  migrate: false,
  createSchema: false,
  reindex: false,
  registerInstance: false,
} as const;

/** Sends wake-ups in the transaction of what they are about; the worker takes them once that is committed. */
export class WakeUps {
  #client: Promise<PgBoss> | null = null;

  constructor(private readonly url: string) {}

  async send(runner: QueryRunner, job: string): Promise<void> {
    // A lost wake-up only delays what it was for: the worker looks by itself from time to time.
    const client = await this.#start().catch(() => null);
    if (client === null) return;
    await client.send(
      job,
      {},
      { db: { executeSql: async (text, values) => ({ rows: await runner.query(text, values) }) } },
    );
  }

  async stop(): Promise<void> {
    const client = await this.#client?.catch(() => null);
    this.#client = null;
    await client?.stop({ graceful: false });
  }

  #start(): Promise<PgBoss> {
    this.#client ??= this.#connect().catch((error: unknown) => {
      // The next transaction tries again.
      this.#client = null;
      throw error;
    });
    return this.#client;
  }

  async #connect(): Promise<PgBoss> {
    const client = new PgBoss({
      ...JOB_SETTINGS,
      // Sends only: what supervises and schedules is the worker.
      supervise: false,
      schedule: false,
      // A connection of its own: a transaction that waited here for one of the common pool, while all others of the
      // pool wait for that transaction, would wait for ever.
      connectionString: this.url,
      application_name: 'innerglove-wake-ups',
      max: 1,
    });
    client.on('error', () => undefined);
    return client.start();
  }
}
