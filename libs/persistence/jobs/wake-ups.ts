import { PgBoss } from 'pg-boss';
import type { DataSource, QueryRunner } from 'typeorm';

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

  constructor(private readonly source: DataSource) {}

  async send(runner: QueryRunner, job: string): Promise<void> {
    const client = await this.#start();
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
      db: { executeSql: async (text, values) => ({ rows: await this.source.query(text, values) }) },
    });
    client.on('error', () => undefined);
    return client.start();
  }
}
