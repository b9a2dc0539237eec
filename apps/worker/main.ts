import 'reflect-metadata';
import { announceReady, config, createLog, endInOrder } from '#platform';
import { createWorker } from './create-worker.js';

const settings = config();
const log = createLog(settings.logLevel);

try {
  const worker = await createWorker(settings, log);
  endInOrder(log, () => worker.stop());
  worker.start();
  log.info('worker-ready', { processId: process.pid });
  announceReady(null);
} catch (error) {
  log.error('worker-did-not-start', { error });
  process.exit(1);
}
