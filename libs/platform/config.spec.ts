import { describe, expect, it } from '@jest/globals';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { CONFIG_KEYS, ConfigurationError, readConfig, type Environment } from './config.js';

const KEY = Buffer.alloc(32, 7).toString('base64');
const SECRET = 'a-secret-that-must-not-be-printed';

function refusal(environment: Environment): ConfigurationError {
  try {
    readConfig(environment);
  } catch (error) {
    if (error instanceof ConfigurationError) return error;
    throw error;
  }
  throw new Error('The configuration was accepted.');
}

describe('the configuration', () => {
  it('starts on this machine alone with the embedded database when nothing is set', () => {
    expect(readConfig({})).toEqual({
      database: { app: null, migration: null, worker: null },
      masterKey: null,
      dataFolder: 'data',
      http: { host: '127.0.0.1', port: 8080, tls: null, trustProxy: false, publicUrl: 'http://localhost:8080' },
      mail: null,
      demoPassword: null,
      logLevel: 'info',
    });
  });

  it('takes an empty value as not set', () => {
    expect(readConfig({ PORT: '', DATABASE_URL: ' ' })).toEqual(readConfig({}));
  });

  it('reads every key', () => {
    const config = readConfig({
      DATABASE_URL: 'postgres://app@db/innerglove',
      MIGRATION_DATABASE_URL: 'postgresql://owner@db/innerglove',
      WORKER_DATABASE_URL: 'postgres://worker@db/innerglove',
      MASTER_KEY: KEY,
      DATA_FOLDER: '/srv/innerglove',
      HOST: '10.0.0.5',
      PORT: '8443',
      TLS_CERT: '/etc/tls/cert.pem',
      TLS_KEY: '/etc/tls/key.pem',
      TRUST_PROXY: 'true',
      PUBLIC_URL: 'https://gloves.hospital.example/',
      SMTP_URL: 'smtp://mail.hospital.example:25',
      MAIL_FROM: 'Innerglove <innerglove@hospital.example>',
      DEMO_PASSWORD: 'a demonstration pass phrase',
      LOG_LEVEL: 'warn',
    });

    expect(config).toEqual({
      database: {
        app: 'postgres://app@db/innerglove',
        migration: 'postgresql://owner@db/innerglove',
        worker: 'postgres://worker@db/innerglove',
      },
      masterKey: Buffer.alloc(32, 7),
      dataFolder: '/srv/innerglove',
      http: {
        host: '10.0.0.5',
        port: 8443,
        tls: { certificateFile: '/etc/tls/cert.pem', keyFile: '/etc/tls/key.pem' },
        trustProxy: true,
        publicUrl: 'https://gloves.hospital.example',
      },
      mail: { smtpUrl: 'smtp://mail.hospital.example:25', from: 'Innerglove <innerglove@hospital.example>' },
      demoPassword: 'a demonstration pass phrase',
      logLevel: 'warn',
    });
  });

  it('takes the master key from a file, in base64 or hexadecimal', () => {
    const folder = mkdtempSync(join(tmpdir(), 'innerglove-config-'));
    try {
      const file = join(folder, 'master.key');
      writeFileSync(file, `${Buffer.alloc(32, 9).toString('hex')}\n`);
      expect(readConfig({ MASTER_KEY_FILE: file }).masterKey).toEqual(Buffer.alloc(32, 9));
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it.each<[string, Environment]>([
    ['DATABASE_URL', { DATABASE_URL: `mysql://${SECRET}@db`, MASTER_KEY: KEY }],
    ['WORKER_DATABASE_URL', { WORKER_DATABASE_URL: SECRET, MASTER_KEY: KEY }],
    ['MASTER_KEY', { MASTER_KEY: SECRET }],
    ['MASTER_KEY', { MASTER_KEY: `${KEY}AAAA` }],
    ['MASTER_KEY', { DATABASE_URL: `postgres://app:${SECRET}@db/x` }],
    ['MASTER_KEY_FILE', { MASTER_KEY_FILE: `/no/such/${SECRET}` }],
    ['MASTER_KEY_FILE', { MASTER_KEY: KEY, MASTER_KEY_FILE: `/etc/${SECRET}` }],
    ['PORT', { PORT: SECRET }],
    ['PORT', { PORT: '70000' }],
    ['TLS_KEY', { TLS_CERT: `/etc/${SECRET}` }],
    ['TLS_CERT', { TLS_KEY: `/etc/${SECRET}` }],
    ['TRUST_PROXY', { TRUST_PROXY: SECRET }],
    ['HOST', { HOST: '0.0.0.0' }],
    ['PUBLIC_URL', { PUBLIC_URL: SECRET }],
    ['SMTP_URL', { SMTP_URL: `http://${SECRET}` }],
    ['MAIL_FROM', { SMTP_URL: 'smtp://mail', MAIL_FROM: SECRET }],
    ['LOG_LEVEL', { LOG_LEVEL: SECRET }],
  ])('stops at a %s that cannot be used, names it, and does not print the value', (key, environment) => {
    const error = refusal(environment);

    expect(error.key).toBe(key);
    expect(error.message.startsWith(`${key} is not usable: it must be `)).toBe(true);
    expect(error.message).not.toContain(SECRET);
  });

  it('has every key in the example file, and no other', () => {
    const example = readFileSync(new URL('../../.env.example', import.meta.url), 'utf8');
    const keys = [...example.matchAll(/^#?([A-Z_]+)=/gm)].map(([, key]) => key);

    expect(keys).toEqual([...CONFIG_KEYS]);
  });
});
