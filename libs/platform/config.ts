import { readFileSync } from 'node:fs';
import { LOG_LEVELS, type LogLevel } from './log.js';

/** Everything that can be set from outside, read once. Secrets stay in this object: it is never logged or printed. */
export interface Config {
  /** All null: the embedded database in `dataFolder`. One process may have only the address that it needs. */
  readonly database: {
    readonly app: string | null;
    readonly migration: string | null;
    readonly worker: string | null;
  };
  /** 32 bytes that wrap the persons' keys; null leaves it to the embedded database's own file. */
  readonly masterKey: Buffer | null;
  readonly dataFolder: string;
  readonly http: {
    readonly host: string;
    readonly port: number;
    readonly tls: { readonly certificateFile: string; readonly keyFile: string } | null;
    /** A proxy before us ends TLS and says who called. */
    readonly trustProxy: boolean;
    /** The address in mails, without a slash at its end. */
    readonly publicUrl: string;
  };
  /** Null: notices wait in the outbox. */
  readonly mail: { readonly smtpUrl: string; readonly from: string } | null;
  readonly demoPassword: string | null;
  readonly logLevel: LogLevel;
}

/** Names the key and what would be accepted. The value is left out: it may be a secret. */
export class ConfigurationError extends Error {
  readonly key: ConfigKey;

  constructor(key: ConfigKey, accepted: string) {
    super(`${key} is not usable: it must be ${accepted}.`);
    this.name = 'ConfigurationError';
    this.key = key;
  }
}

/** Every key that is read, in the order of `.env.example`. */
export const CONFIG_KEYS = [
  'DATABASE_URL',
  'MIGRATION_DATABASE_URL',
  'WORKER_DATABASE_URL',
  'MASTER_KEY',
  'MASTER_KEY_FILE',
  'DATA_FOLDER',
  'HOST',
  'PORT',
  'TLS_CERT',
  'TLS_KEY',
  'TRUST_PROXY',
  'PUBLIC_URL',
  'SMTP_URL',
  'MAIL_FROM',
  'DEMO_PASSWORD',
  'LOG_LEVEL',
] as const;
export type ConfigKey = (typeof CONFIG_KEYS)[number];

export type Environment = Readonly<Partial<Record<string, string>>>;

const LOOPBACK = ['127.0.0.1', '::1', 'localhost'];

function address(key: ConfigKey, text: string | null, protocols: readonly string[]): string | null {
  if (text === null) return null;
  const accepted = `an address that begins with ${protocols.map((protocol) => `${protocol}//`).join(' or ')}`;
  if (!URL.canParse(text) || !protocols.includes(new URL(text).protocol)) throw new ConfigurationError(key, accepted);
  return text;
}

function key32(key: ConfigKey, text: string): Buffer {
  const hexadecimal = /^[0-9a-fA-F]{64}$/.test(text);
  const bytes = Buffer.from(text, hexadecimal ? 'hex' : 'base64');
  if (bytes.length !== 32 || (!hexadecimal && !/^[A-Za-z0-9+/_-]{43}=?$/.test(text))) {
    throw new ConfigurationError(key, '32 bytes, in base64 or as 64 hexadecimal digits');
  }
  return bytes;
}

function contents(key: ConfigKey, file: string): string {
  try {
    return readFileSync(file, 'utf8').trim();
  } catch {
    throw new ConfigurationError(key, 'the path of a file that this process can read');
  }
}

/** Reads and checks the environment. Throws `ConfigurationError` at the first key that cannot be used. */
export function readConfig(environment: Environment): Config {
  const value = (key: ConfigKey): string | null => {
    const text = environment[key]?.trim();
    return text === undefined || text === '' ? null : text;
  };
  const postgres = (key: ConfigKey) => address(key, value(key), ['postgres:', 'postgresql:']);

  const database = {
    app: postgres('DATABASE_URL'),
    migration: postgres('MIGRATION_DATABASE_URL'),
    worker: postgres('WORKER_DATABASE_URL'),
  };

  const key = value('MASTER_KEY');
  const keyFile = value('MASTER_KEY_FILE');
  if (key !== null && keyFile !== null)
    throw new ConfigurationError('MASTER_KEY_FILE', 'left out while MASTER_KEY is set');
  const masterKey =
    key !== null
      ? key32('MASTER_KEY', key)
      : keyFile !== null
        ? key32('MASTER_KEY_FILE', contents('MASTER_KEY_FILE', keyFile))
        : null;
  // A key beside the rows that it opens would protect nothing, so another database has to bring its own.
  if (masterKey === null && Object.values(database).some((url) => url !== null)) {
    throw new ConfigurationError(
      'MASTER_KEY',
      'set, here or by MASTER_KEY_FILE, when the database is not the embedded one',
    );
  }

  const portText = value('PORT') ?? '8080';
  const port = Number(portText);
  if (!/^[0-9]{1,5}$/.test(portText) || port > 65_535) throw new ConfigurationError('PORT', 'a number from 0 to 65535');

  const certificateFile = value('TLS_CERT');
  const tlsKeyFile = value('TLS_KEY');
  if (certificateFile === null && tlsKeyFile !== null) throw new ConfigurationError('TLS_CERT', 'set when TLS_KEY is');
  if (certificateFile !== null && tlsKeyFile === null) throw new ConfigurationError('TLS_KEY', 'set when TLS_CERT is');
  const tls = certificateFile !== null && tlsKeyFile !== null ? { certificateFile, keyFile: tlsKeyFile } : null;

  const trust = value('TRUST_PROXY') ?? 'false';
  if (trust !== 'true' && trust !== 'false') throw new ConfigurationError('TRUST_PROXY', '"true" or "false"');
  const trustProxy = trust === 'true';

  const secure = tls !== null || trustProxy;
  const host = value('HOST') ?? (secure ? '0.0.0.0' : '127.0.0.1');
  if (!secure && !LOOPBACK.includes(host)) {
    throw new ConfigurationError('HOST', '127.0.0.1 as long as neither TLS_CERT and TLS_KEY nor TRUST_PROXY is set');
  }

  const publicUrl =
    address('PUBLIC_URL', value('PUBLIC_URL'), ['https:', 'http:']) ?? `${tls ? 'https' : 'http'}://localhost:${port}`;

  const smtpUrl = address('SMTP_URL', value('SMTP_URL'), ['smtp:', 'smtps:']);
  const from = value('MAIL_FROM');
  if (smtpUrl !== null && !/^[^\s@]+@[^\s@]+$|<[^\s@]+@[^\s@]+>$/.test(from ?? '')) {
    throw new ConfigurationError('MAIL_FROM', 'a mail address when SMTP_URL is set');
  }

  const logLevel = value('LOG_LEVEL') ?? 'info';
  const level = LOG_LEVELS.find((known) => known === logLevel);
  if (level === undefined) throw new ConfigurationError('LOG_LEVEL', `one of: ${LOG_LEVELS.join(', ')}`);

  return {
    database,
    masterKey,
    dataFolder: value('DATA_FOLDER') ?? 'data',
    http: { host, port, tls, trustProxy, publicUrl: publicUrl.replace(/\/+$/, '') },
    mail: smtpUrl !== null && from !== null ? { smtpUrl, from } : null,
    demoPassword: value('DEMO_PASSWORD'),
    logLevel: level,
  };
}

let once: Config | undefined;

/** The configuration of this process. */
export function config(): Config {
  once ??= readConfig(process.env);
  return once;
}
