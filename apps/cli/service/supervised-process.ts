import { spawn, type ChildProcess } from 'node:child_process';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Log } from '#platform';

export interface SupervisedProcessOptions {
  /** For the log. */
  readonly name: string;
  /** The compiled entry file. */
  readonly file: string;
  /** Asked for at every start, since a port that was free becomes a port that is kept. */
  readonly environment: () => NodeJS.ProcessEnv;
  readonly log: Log;
}

/** What a child says once it does its work. */
export interface ReadyMessage {
  readonly kind: 'ready';
  readonly port: number | null;
}

/** A first start that takes longer has failed. */
const START_MS = 30_000;
const FIRST_PAUSE_MS = 200;
const LONGEST_PAUSE_MS = 10_000;
/** After a polite request to end. */
const PATIENCE_MS = 10_000;

/** A process of ours that did not come up; its own log says why. */
export class DidNotStart extends Error {
  constructor(name: string) {
    super(`The ${name} did not start. Its log lines above say why.`);
    this.name = 'DidNotStart';
  }
}

/** Keeps one child process running until it is told to stop. */
export class SupervisedProcess {
  private child: ChildProcess | null = null;
  private stopping = false;
  private pauseMs = FIRST_PAUSE_MS;

  constructor(private readonly options: SupervisedProcessOptions) {}

  get pid(): number | null {
    return this.child?.pid ?? null;
  }

  /** Resolves when the child is ready; after that, a child that ends is started again. */
  async start(): Promise<ReadyMessage> {
    const { name } = this.options;
    const child = this.spawn();
    const ready = await Promise.race([
      new Promise<ReadyMessage>((resolve) => child.once('message', (message) => resolve(message as ReadyMessage))),
      new Promise<null>((resolve) => child.once('exit', () => resolve(null))),
      sleep(START_MS, null, { ref: false }),
    ]);
    if (ready === null) {
      await this.stop();
      throw new DidNotStart(name);
    }
    this.keep(child);
    return ready;
  }

  /**
   * For a child whose environment no longer holds. At once: what it could still answer, it could only answer with a
   * failure.
   */
  startAgain(): void {
    this.child?.kill('SIGKILL');
  }

  async stop(): Promise<void> {
    this.stopping = true;
    const child = this.child;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
    child.kill('SIGTERM');
    const late = await Promise.race([ended.then(() => false), sleep(PATIENCE_MS, true, { ref: false })]);
    if (late) child.kill('SIGKILL');
    await ended;
  }

  private spawn(): ChildProcess {
    const { file, environment } = this.options;
    this.child = spawn(process.execPath, ['--disable-warning=ExperimentalWarning', file], {
      env: environment(),
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    });
    return this.child;
  }

  /** The pauses grow only between starts that came to nothing: a process that did its work is wanted back at once. */
  private keep(child: ChildProcess): void {
    child.once('message', () => (this.pauseMs = FIRST_PAUSE_MS));
    child.once('exit', (code, signal) => {
      if (this.stopping) return;
      const { name, log } = this.options;
      log.error('process-ended', { job: name, code: String(code ?? ''), signal: signal ?? '' });
      setTimeout(() => {
        if (!this.stopping) this.keep(this.spawn());
      }, this.pauseMs);
      this.pauseMs = Math.min(this.pauseMs * 2, LONGEST_PAUSE_MS);
    });
  }
}
