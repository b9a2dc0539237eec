import type { Log } from './log.js';

/** After this the process ends in any case: a supervisor must not wait for ever. */
const PATIENCE_MS = 10_000;

/**
 * Ends the process once, in order, when it is told to by a signal or when the process that started it is gone. A fault
 * that nobody caught ends it too: what is acknowledged is in the database, and a fresh process is the safer one.
 */
export function endInOrder(log: Log, stop: () => Promise<void>): void {
  let ending = false;
  const end = async (why: string, exitCode: number, error?: unknown): Promise<void> => {
    if (ending) return;
    ending = true;
    log.info('ending', { signal: why, ...(error === undefined ? {} : { error }) });
    setTimeout(() => process.exit(1), PATIENCE_MS).unref();
    try {
      await stop();
    } catch (failure) {
      log.error('ending-failed', { error: failure });
    }
    process.exit(exitCode);
  };
  process.once('SIGTERM', () => void end('SIGTERM', 0));
  process.once('SIGINT', () => void end('SIGINT', 0));
  process.once('disconnect', () => void end('disconnect', 0));
  process.once('uncaughtException', (error) => void end('uncaughtException', 1, error));
}

/** Tells the process that started this one, if any, that it does its work. */
export function announceReady(port: number | null): void {
  process.send?.({ kind: 'ready', port });
}
