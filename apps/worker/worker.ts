import { PgBoss } from 'pg-boss';
import { JOB_SETTINGS } from '#persistence';
import type { Log } from '#platform';
import { OneAtATime } from './one-at-a-time.js';

/** One handler a job name. A job carries nothing: the handler looks at the tables. */
export type Handlers = Readonly<Record<string, () => Promise<void>>>;

export interface WorkerOptions {
  /** Address of the database for the role `innerglove_worker`; pg-boss keeps its own few connections. */
  readonly databaseUrl: string;
  readonly handlers: Handlers;
  readonly log: Log;
  /** How long a lost wake-up can delay what it was for. */
  readonly everyMs?: number;
}

const EVERY_MS = 5_000;
const POLLING_SECONDS = 1;
/** Waits between attempts to reach a database that is away. */
const AGAIN_MS = 2_000;

/**
 * Runs every handler when a job wakes it, and from time to time in any case: the queue only saves waiting. Any number of
 * workers may run at once.
 */
export class Worker {
  private readonly boss: PgBoss;
  private readonly tasks: ReadonlyMap<string, OneAtATime>;
  private readonly timers: NodeJS.Timeout[] = [];
  private readonly stopping = new AbortController();
  private connected: Promise<void> = Promise.resolve();

  constructor(private readonly options: WorkerOptions) {
    const { databaseUrl, handlers, log } = options;
    this.boss = new PgBoss({
      connectionString: databaseUrl,
      application_name: 'innerglove-worker',
      ...JOB_SETTINGS,
      monitorVacuum: false,
      schedule: false,
      max: 3,
    });
    this.boss.on('error', (error) => log.warn('queue-failing', { error }));
    this.tasks = new Map(
      Object.entries(handlers).map(([job, handler]) => [
        job,
        new OneAtATime(async () => {
          try {
            await handler();
          } catch (error) {
            // The tables still hold what was to be done, and the next round comes.
            log.error('job-failed', { job, error });
          }
        }),
      ]),
    );
  }

  start(): void {
    for (const task of this.tasks.values()) {
      void task.run();
      this.timers.push(setInterval(() => void task.run(), this.options.everyMs ?? EVERY_MS));
    }
    this.connected = this.connect();
  }

  /** Waits for what runs, then lets go of the database. */
  async stop(): Promise<void> {
    this.stopping.abort();
    for (const timer of this.timers) clearInterval(timer);
    await this.connected;
    await this.boss.stop({ graceful: true, timeout: 5_000 }).catch(() => undefined);
    await Promise.all([...this.tasks.values()].map((task) => task.settled()));
  }

  private async connect(): Promise<void> {
    while (!this.stopping.signal.aborted) {
      try {
        await this.boss.start();
        for (const [job, task] of this.tasks) {
          await this.boss.work(job, { pollingIntervalSeconds: POLLING_SECONDS, batchSize: 100 }, () => task.run());
        }
        return;
      } catch (error) {
        this.options.log.warn('queue-not-reached', { error });
        await new Promise((again) => setTimeout(again, AGAIN_MS));
      }
    }
  }
}
