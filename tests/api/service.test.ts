import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { rm } from 'node:fs/promises';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { aSetup, PASSWORD } from './support/site-in-use.js';
import { createDataFolder } from '../support/data-folder.js';
import { startProgram, type StartedProgram } from '../support/started-program.js';

const start = (folder: string, environment: Readonly<Record<string, string>> = {}) =>
  startProgram('start', { DATA_FOLDER: folder, ...environment });

const until = async (holds: () => Promise<boolean>, seconds = 20) => {
  const deadline = Date.now() + seconds * 1000;
  while (!(await holds().catch(() => false))) {
    if (Date.now() > deadline) throw new Error('This did not come about in time.');
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
};

describe('npm start', () => {
  let folder: string;
  let service: StartedProgram;

  beforeAll(async () => {
    folder = await createDataFolder('service');
    service = await start(folder);
  });

  afterAll(async () => {
    await service.stop();
    await rm(folder, { recursive: true, force: true });
  });

  const get = (path: string) => fetch(`${service.address}${path}`);
  const post = (path: string, body: object) =>
    fetch(`${service.address}/api/v1${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  const processOf = (job: 'api' | 'worker') =>
    Number([...service.output().matchAll(new RegExp(`"event":"${job}-ready".*?"processId":(\\d+)`, 'g'))].at(-1)?.[1]);

  it('is ready from nothing, on the loopback address only', async () => {
    expect(service.address).toMatch(/^http:\/\/localhost:\d+$/);
    expect((await get('/health/ready')).status).toBe(200);
    const others = Object.values(networkInterfaces()).flatMap((addresses) => addresses ?? []);
    for (const { address, family, internal } of others) {
      if (internal || family !== 'IPv4') continue;
      await expect(fetch(`http://${address}:${new URL(service.address).port}/health/live`)).rejects.toThrow();
    }
  });

  it('prints a link that sets it up once', async () => {
    const token = /\/setup#token=(\S+)/.exec(service.output())?.[1] ?? '';
    expect(token).toMatch(/^[A-Za-z0-9_-]{43}$/);

    expect((await post('/setup', aSetup('another'))).status).toBe(403);
    expect((await post('/setup', aSetup(token))).status).toBe(201);
    expect((await post('/setup', aSetup(token))).status).toBe(403);
    expect((await post('/session', { login: 'administrator', password: PASSWORD })).status).toBe(200);
  });

  it('serves the pages, hashed files for ever and the page itself anew each time', async () => {
    const page = await get('/');
    expect(page.status).toBe(200);
    expect(page.headers.get('cache-control')).toBe('no-store');
    const html = await page.text();
    const asset = /(?:src|href)="(\/assets\/[^"]+)"/.exec(html)?.[1] ?? '';
    const file = await get(asset);
    expect(file.status).toBe(200);
    expect(file.headers.get('cache-control')).toBe('public, max-age=31536000, immutable');

    expect(await (await get('/triage/some-page')).text()).toBe(html);
    for (const path of ['/api/v1/nothing', '/api/nothing', '/assets/nothing.js', '/health/nothing']) {
      const missing = await get(path);
      expect([path, missing.status, missing.headers.get('content-type')]).toEqual([
        path,
        404,
        'application/problem+json; charset=utf-8',
      ]);
    }
  });

  it.each(['api', 'worker'] as const)('starts the %s again when it is killed', async (job) => {
    const killed = processOf(job);
    process.kill(killed, 'SIGKILL');

    await until(async () => processOf(job) !== killed);
    await until(async () => (await get('/health/ready')).status === 200);
    expect((await post('/session', { login: 'administrator', password: PASSWORD })).status).toBe(200);
  });

  it('ends in order and comes back with what it had', async () => {
    expect(await service.stop()).toBe(0);
    service = await start(folder);

    // Five seconds on a machine of its own; here the cores are shared with other tests.
    expect(service.milliseconds).toBeLessThan(15_000);
    expect(service.output()).not.toContain('/setup#token=');
    expect((await post('/session', { login: 'administrator', password: PASSWORD })).status).toBe(200);
  });

  it('answers what it has begun before it ends', async () => {
    const sent = Array.from({ length: 12 }, () =>
      post('/session', { login: 'administrator', password: PASSWORD }).then(
        ({ status }) => String(status),
        (error: { cause?: { code?: string } }) => error.cause?.code ?? 'cut off',
      ),
    );
    // Passwords are hashed four at a time: with the first answer the others are read and waiting.
    await Promise.race(sent);
    expect(await service.stop()).toBe(0);
    const answers = await Promise.all(sent);
    service = await start(folder);

    expect(answers.filter((answer) => !['200', '503', 'ECONNREFUSED'].includes(answer))).toEqual([]);
    expect(answers).toContain('200');
  });

  it('takes both processes along when it is killed itself', async () => {
    const [api, worker] = [processOf('api'), processOf('worker')];
    await service.stop('SIGKILL');

    const gone = (pid: number) => {
      try {
        process.kill(pid, 0);
        return false;
      } catch {
        return true;
      }
    };
    await until(async () => gone(api) && gone(worker));
    service = await start(folder);
    expect((await get('/health/ready')).status).toBe(200);
  });

  it.each([
    [{ PORT: 'many' }, 'PORT is not usable'],
    [{ HOST: '0.0.0.0' }, 'HOST is not usable'],
    [{ DATABASE_URL: 'postgres://localhost/x', MASTER_KEY: 'a'.repeat(64) }, 'WORKER_DATABASE_URL'],
  ])('says in one sentence what is wrong with %j', async (environment, words) => {
    const other = join(folder, 'unused');
    const failed = await start(other, environment).catch((error: unknown) => String(error));

    expect(failed).toContain('Innerglove did not start.');
    expect(failed).toContain(words);
    expect(failed).not.toContain('    at ');
  });
});
