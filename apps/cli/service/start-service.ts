import { fileURLToPath } from 'node:url';
import { childEnvironment, type Config, type Log } from '#platform';
import type { ServiceDatabase } from './service-database.js';
import { SupervisedProcess } from './supervised-process.js';

export interface ServiceOptions {
  readonly config: Config;
  readonly database: ServiceDatabase;
  readonly log: Log;
}

/** The running service: the API with its pages, and the worker, each in a process of its own. */
export interface Service {
  /** Where it listens, as a browser on this machine would ask for it. */
  readonly address: string;
  /** For whoever wants to watch or end them; null between two starts. */
  processes(): { readonly api: number | null; readonly worker: number | null };
  /** Stops both processes; the database is the caller's. */
  stop(): Promise<void>;
}

const entry = (file: string) => fileURLToPath(new URL(`../../${file}`, import.meta.url));

/** Starts API and worker over a database that is open and migrated, and keeps both running. */
export async function startService({ config, database, log }: ServiceOptions): Promise<Service> {
  const { http, mail, dataFolder, logLevel } = config;
  // A port of 0 is chosen once: a process that is started again has to be found where it was.
  let port = http.port;
  const shared = { MASTER_KEY: database.masterKey, DATA_FOLDER: dataFolder, LOG_LEVEL: logLevel };
  const api = new SupervisedProcess({
    name: 'api',
    file: entry('api/main.js'),
    log,
    environment: () =>
      childEnvironment({
        ...shared,
        DATABASE_URL: database.appUrl,
        HOST: http.host,
        PORT: String(port),
        PUBLIC_URL: http.publicUrl,
        TRUST_PROXY: String(http.trustProxy),
        ...(http.tls ? { TLS_CERT: http.tls.certificateFile, TLS_KEY: http.tls.keyFile } : {}),
      }),
  });
  const worker = new SupervisedProcess({
    name: 'worker',
    file: entry('worker/main.js'),
    log,
    environment: () =>
      childEnvironment({
        ...shared,
        WORKER_DATABASE_URL: database.workerUrl,
        PUBLIC_URL: http.publicUrl,
        ...(mail ? { SMTP_URL: mail.smtpUrl, MAIL_FROM: mail.from } : {}),
      }),
  });
  database.whenMoved(() => {
    api.startAgain();
    worker.startAgain();
  });
  const stop = async (): Promise<void> => {
    await Promise.all([api.stop(), worker.stop()]);
  };
  try {
    const [ready] = await Promise.all([api.start(), worker.start()]);
    port = ready.port ?? port;
  } catch (error) {
    await stop();
    throw error;
  }
  const scheme = http.tls ? 'https' : 'http';
  const loopback = ['127.0.0.1', '::1', '0.0.0.0'].includes(http.host);
  const address = `${scheme}://${loopback ? 'localhost' : http.host}:${port}`;
  return { address, processes: () => ({ api: api.pid, worker: worker.pid }), stop };
}
