import { RaiseDueAlerts } from '#application';
import { SendNotices, SmtpTransport } from '#notices';
import { createPersistence } from '#persistence';
import { ConfigurationError, type Config, type Log } from '#platform';
import { atMostEvery } from './at-most-every.js';
import { SignOfLife } from './sign-of-life.js';
import { SweepDue } from './sweep-due.js';
import { Worker, type Handlers } from './worker.js';

export interface RunningWorker {
  start(): void;
  stop(): Promise<void>;
}

/** Enough for both handlers and a few sites at once. */
const POOL_SIZE = 4;
/** Keys of answered requests and ended sessions: nothing waits for their removal. */
const FORGET_EVERY_MS = 3_600_000;
const FORGET_AT_ONCE = 10_000;

/** The worker with its adapters. Without a mail server notices wait in the outbox, and the log says so. */
export async function createWorker(
  { database, masterKey, mail, http, dataFolder }: Config,
  log: Log,
): Promise<RunningWorker> {
  if (database.worker === null || masterKey === null) {
    throw new ConfigurationError(
      'WORKER_DATABASE_URL',
      'set for this process; `npm start` sets it for the embedded database',
    );
  }
  const persistence = await createPersistence({
    url: database.worker,
    masterKey: masterKey.toString('hex'),
    poolSize: POOL_SIZE,
    applicationName: 'innerglove-worker',
    // A sweep over a large site may take longer than a request.
    statementTimeout: 30_000,
  });
  const { dueIndex, unitOfWork } = persistence;
  const sweep = new SweepDue(dueIndex, new RaiseDueAlerts(unitOfWork), log);
  const life = new SignOfLife(dataFolder);
  const transport = mail ? new SmtpTransport({ url: mail.smtpUrl, from: mail.from }) : null;
  if (transport === null) log.warn('no-mail-server');
  const notices = transport && new SendNotices(dueIndex, transport, http.publicUrl);
  const forget = atMostEvery(FORGET_EVERY_MS, async () => {
    const count = await dueIndex.forgetExpired(FORGET_AT_ONCE);
    if (count > 0) log.info('forgotten', { count });
  });
  const handlers: Handlers = {
    'sweep-due': async () => {
      const { raised, failed } = await sweep.execute();
      if (raised > 0 || failed > 0) log.info('swept', { count: raised, failed });
      await forget();
      await life.give();
    },
    ...(notices && {
      'send-notices': async () => {
        const { sent, failed, late } = await notices.execute();
        if (sent + failed + late > 0) log.info('notices-sent', { count: sent, failed, skipped: late });
      },
    }),
  };
  const worker = new Worker({ databaseUrl: database.worker, handlers, log });
  return {
    start: () => worker.start(),
    stop: async () => {
      await worker.stop();
      transport?.close();
      await persistence.close();
    },
  };
}
