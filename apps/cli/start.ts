import 'reflect-metadata';
import { config, ConfigurationError, createLog, endInOrder, nodeVersionNotice } from '#platform';
import { DatabaseAddressMissing, openServiceDatabase, type ServiceDatabase } from './service/service-database.js';
import { DidNotStart } from './service/supervised-process.js';
import { startService } from './service/start-service.js';

/** Faults that the person at the terminal can mend: told in one sentence, without a stack. */
const TOLD: readonly string[] = [ConfigurationError, DatabaseAddressMissing, DidNotStart].map(({ name }) => name);

const notice = nodeVersionNotice();
if (notice) process.stderr.write(`${notice}\n`);

let database: ServiceDatabase | undefined;
try {
  const settings = config();
  const log = createLog(settings.logLevel);
  const opened = (database = await openServiceDatabase(settings, log));
  const service = await startService({ config: settings, database: opened, log });
  endInOrder(log, async () => {
    await service.stop();
    await opened.stop();
  });
  process.stdout.write(`Innerglove is ready: ${service.address}\n`);
} catch (error) {
  const words = error instanceof Error && TOLD.includes(error.name) ? error.message : String((error as Error)?.stack);
  process.stderr.write(`Innerglove did not start. ${words}\n`);
  await database?.stop().catch(() => undefined);
  process.exit(1);
}
