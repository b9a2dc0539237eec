import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { mkdtemp, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { SMTPServer } from 'smtp-server';
import { createLog, readConfig } from '#platform';
import { createWorker, type RunningWorker } from '../../apps/worker/create-worker.js';
import { aReading, anExposure } from './support/reports.js';
import { PEOPLE, startSiteInUse, type SiteInUse } from './support/site-in-use.js';

interface ReceivedMail {
  readonly id: string;
  readonly to: string;
  readonly text: string;
}

/** A real mail server that keeps what it is given, read as quoted-printable (RFC 2045, 6.7), and can refuse for a while. */
async function startMailSink() {
  const received: ReceivedMail[] = [];
  const sink = { received, refusing: false, url: '', stop: (): Promise<void> => Promise.resolve() };
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onMailFrom: (_address, _session, done) =>
      done(sink.refusing ? Object.assign(new Error('later'), { responseCode: 451 }) : null),
    onData: (stream, session, done) => {
      let text = '';
      stream.on('data', (chunk: Buffer) => (text += chunk.toString()));
      stream.on('end', () => {
        text = text.replaceAll('=\r\n', '').replaceAll(/=([0-9A-F]{2})/g, (_, code: string) => {
          return String.fromCharCode(Number.parseInt(code, 16));
        });
        const id = /^Message-ID: (<[^>]+>)/m.exec(text)?.[1] ?? '';
        received.push({ id, text, to: session.envelope.rcptTo.map(({ address }) => address).join() });
        done();
      });
    },
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  sink.url = `smtp://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
  sink.stop = () => new Promise((stopped) => server.close(() => stopped()));
  return sink;
}

const CLINICAL =
  /\b(ebola|fever|temperature|reading|symptom|expos|infect|breach|glove|blood|risk|category|virus|disease|illness)/i;

describe('the worker', () => {
  let site: SiteInUse;
  let sink: Awaited<ReturnType<typeof startMailSink>>;
  let owner: pg.Client;
  let dataFolder: string;
  const workers: RunningWorker[] = [];
  const logged: string[] = [];

  beforeAll(async () => {
    site = await startSiteInUse();
    sink = await startMailSink();
    dataFolder = await mkdtemp(join(tmpdir(), 'innerglove-worker-'));
    owner = new pg.Client({ connectionString: site.databaseUrls.adminUrl });
    await owner.connect();
  });

  afterAll(async () => {
    await Promise.all(workers.map((worker) => worker.stop()));
    await sink.stop();
    await owner.end();
    await site.stop();
    await rm(dataFolder, { recursive: true, force: true });
  });

  const startWorker = async () => {
    const worker = await createWorker(
      readConfig({
        WORKER_DATABASE_URL: site.databaseUrls.workerUrl,
        MASTER_KEY: site.masterKey,
        DATA_FOLDER: dataFolder,
        SMTP_URL: sink.url,
        MAIL_FROM: 'Innerglove <innerglove@larkhill.example>',
        PUBLIC_URL: 'https://ig.larkhill.example',
      }),
      createLog('debug', (line) => logged.push(line)),
    );
    workers.push(worker);
    worker.start();
    return worker;
  };

  const until = async (holds: () => Promise<boolean> | boolean, seconds = 20) => {
    const deadline = Date.now() + seconds * 1000;
    while (!(await holds())) {
      if (Date.now() > deadline) throw new Error('This did not come about in time.');
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  };

  const exposed = async () =>
    (await site.as('wearer').create('/incidents', anExposure()).expect(201)).body as {
      incidentId: string;
      plan: { planId: string };
    };
  const alertsOf = async (incidentId: string) =>
    (
      (await site.as('nurse').get(`/alerts?incidentId=${incidentId}`).expect(200)).body as {
        items: { alertId: string; kind: string; checkKey: string | null }[];
      }
    ).items;
  /** Time cannot be waited for: three of the plan's readings are made due yesterday. */
  const letReadingsPass = (planId: string) =>
    owner.query(
      `update plan_check set due_until = now() - interval '1 day', look_at = now() - interval '1 day'
       where (site_id, plan_id, check_key) in (
         select site_id, plan_id, check_key from plan_check
         where plan_id = $1 and kind = 'reading' and state = 'due' order by due_until limit 3)`,
      [planId],
    );
  const mailsOf = (alertId: string) => sink.received.filter(({ text }) => text.includes(alertId));

  it('makes one alert and one mail of every missed reading, although two workers run', async () => {
    const { incidentId, plan } = await exposed();
    const before = (await alertsOf(incidentId)).length;
    await letReadingsPass(plan.planId);

    await Promise.all([startWorker(), startWorker()]);
    await until(async () => (await alertsOf(incidentId)).length >= before + 3);
    const missed = (await alertsOf(incidentId)).filter(({ kind }) => kind === 'missed-reading');
    await until(() => missed.every(({ alertId }) => mailsOf(alertId).length > 0));
    // Two more sweeps of both: nothing may come twice.
    await new Promise((resolve) => setTimeout(resolve, 11_000));

    expect(new Set(missed.map(({ checkKey }) => checkKey)).size).toBe(3);
    expect(await alertsOf(incidentId)).toHaveLength(before + 3);
    for (const { alertId } of missed) expect(mailsOf(alertId)).toHaveLength(1);
    expect(new Set(sink.received.map(({ id }) => id)).size).toBe(sink.received.length);
  });

  it('mails occupational health a way in and not one clinical word', async () => {
    await until(() => sink.received.length > 0);

    for (const { to, text } of sink.received) {
      expect(to).toBe('occupational-health@larkhill.example');
      const [head = '', ...paragraphs] = text.split('\r\n\r\n');
      const body = paragraphs.join('\n');
      const subject = /^Subject: (.*)$/m.exec(head)?.[1] ?? '';
      expect(subject).not.toMatch(CLINICAL);
      expect(body.replaceAll(/https:\/\/\S+/g, '')).not.toMatch(CLINICAL);
      expect(body).toMatch(/https:\/\/ig\.larkhill\.example\/alerts\/[0-9a-f-]{36}/);
      for (const { name, staffNumber } of Object.values(PEOPLE)) {
        expect(text).not.toContain(name);
        expect(text).not.toContain(staffNumber);
      }
    }
  });

  it('is woken by a fever without waiting for a sweep', async () => {
    const { incidentId, plan } = await exposed();
    const reading = await site
      .as('wearer')
      .create('/readings', aReading(plan.planId, { value: '38.4' }))
      .expect(201);
    const { alertId } = reading.body as { alertId: string };
    const begun = Date.now();

    await until(() => mailsOf(alertId).length > 0, 10);

    expect(Date.now() - begun).toBeLessThan(10_000);
    expect((await alertsOf(incidentId)).map((alert) => alert.alertId)).toContain(alertId);
  });

  it('keeps a mail that the server refuses and sends it later, under the same identity', async () => {
    sink.refusing = true;
    const { plan } = await exposed();
    const reading = await site
      .as('wearer')
      .create('/readings', aReading(plan.planId, { value: '38.4' }))
      .expect(201);
    const { alertId } = reading.body as { alertId: string };
    const outbox = async () =>
      (
        await owner.query<{ message_id: string; attempts: number; failure: string | null; sent: boolean }>(
          'select message_id, attempts, failure, sent_at is not null as sent from outbox where alert_id = $1',
          [alertId],
        )
      ).rows[0];
    await until(async () => (await outbox())?.failure === 'SMTP 451');
    expect(mailsOf(alertId)).toHaveLength(0);

    sink.refusing = false;
    await owner.query('update outbox set next_attempt_at = now() where alert_id = $1', [alertId]);
    await until(() => mailsOf(alertId).length > 0);
    await until(async () => (await outbox())?.sent === true);

    expect(mailsOf(alertId)).toHaveLength(1);
    expect(mailsOf(alertId)[0]?.id).toBe(`<${(await outbox())?.message_id}@larkhill.example>`);
  });

  it('writes ids into its log and nothing else', () => {
    const words = logged.join('');

    expect(words).toContain('"event":"swept"');
    expect(words).not.toContain('occupational-health@');
    for (const { name, staffNumber } of Object.values(PEOPLE)) {
      expect(words).not.toContain(name);
      expect(words).not.toContain(staffNumber);
    }
  });

  it('stops while nothing is half-done', async () => {
    await Promise.all(workers.map((worker) => worker.stop()));
    workers.length = 0;
    const { rows } = await owner.query<{ leased: string }>(
      'select count(*) as leased from outbox where sent_at is null and leased_until > now()',
    );

    expect(rows[0]?.leased).toBe('0');
  });
});
