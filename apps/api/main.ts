import 'reflect-metadata';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { SetUpSite } from '#application';
import { FileSetupTokens } from '#access';
import { announceReady, config, createLog, endInOrder } from '#platform';
import { ApiModule } from './api.module.js';
import { createApi } from './create-api.js';
import { Readiness } from './health/readiness.js';
import { productionPorts } from './production-ports.js';

/** The pages stand beside the compiled server. */
const WEB_FOLDER = fileURLToPath(new URL('../../web', import.meta.url));

const settings = config();
const log = createLog(settings.logLevel);
const { host, port, tls, trustProxy, publicUrl } = settings.http;

try {
  const setupTokens = new FileSetupTokens(settings.dataFolder);
  const { app } = await createApi({
    module: ApiModule.over(productionPorts(settings, setupTokens)),
    log,
    tls,
    trustProxy,
    webFolder: WEB_FOLDER,
  });
  endInOrder(log, () => app.close());
  await app.get(Readiness).require();
  await app.listen(port, host);
  const listening = (app.getHttpServer().address() as AddressInfo).port;
  log.info('api-ready', { port: listening, processId: process.pid });
  if (await app.get(SetUpSite).isNeeded()) {
    // Behind the number sign, so that neither a proxy nor a log ever gets the token.
    const link = `${publicUrl}/setup#token=${await setupTokens.issue()}`;
    process.stdout.write(`\nNobody has set up this installation yet. Within a day, open once:\n  ${link}\n\n`);
  }
  announceReady(listening);
} catch (error) {
  log.error('api-did-not-start', { error });
  process.exit(1);
}
