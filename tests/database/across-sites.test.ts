import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { randomBytes } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import pg from 'pg';
import { PgBoss } from 'pg-boss';
import type { AlertRecord } from '#application';
import { checkDurability, createPersistence, JOB_SETTINGS, type Persistence } from '#persistence';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { acceptedReport, alertRecord, followUpPlan } from '../support/builders/report.js';
import { enterSite, settings, type TestSite } from '../support/builders/site.js';

let database: TestDatabase;
let app: Persistence;
let worker: Persistence;
let admin: pg.Client;
let here: TestSite;
let there: TestSite;

beforeAll(async () => {
  database = await createTestDatabase();
  app = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  worker = await createPersistence({ url: database.workerUrl, masterKey: database.masterKey });
  admin = new pg.Client({ connectionString: database.adminUrl });
  await admin.connect();
  here = await enterSite(app.unitOfWork);
  there = await enterSite(app.unitOfWork);
});

afterAll(async () => {
  await admin.end();
  await app.close();
  await worker.close();
  await database.drop();
});

/** A plan with one reading that is due until so many minutes from now. */
async function reportDueIn(
  site: TestSite,
  minutes: number,
): Promise<{ planId: string; incidentId: string; key: string }> {
  const [reading] = followUpPlan().checks.filter(({ kind }) => kind === 'reading');
  if (!reading) throw new Error('The builder gives readings.');
  const at = (offset: number) => new Date(Date.now() + offset * 60_000).toISOString().replace(/\.\d+Z$/, '+00:00');
  const check = { ...reading, dueFrom: at(minutes - 60), dueUntil: at(minutes) };
  const report = acceptedReport(site, { account: null, plan: followUpPlan({ checks: [check] }) });
  await app.unitOfWork.run(site.wearer.actor, (tx) => tx.incidents.accept(report));
  return { planId: report.plan?.planId ?? '', incidentId: report.incident.incidentId, key: check.key };
}

const duePlans = async () => (await worker.dueIndex.due(100)).map(({ planId }) => planId);

describe('the due index', () => {
  it('gives what is overdue past the site’s grace, across sites, longest due first, and nothing but ids and times', async () => {
    await reportDueIn(here, -30);
    const first = await reportDueIn(here, -200);
    const second = await reportDueIn(there, -100);
    const due = await worker.dueIndex.due(100);
    expect(due.map(({ planId }) => planId)).toEqual([first.planId, second.planId]);
    expect(due[0]).toEqual({
      siteId: here.site.siteId,
      planId: first.planId,
      checkKey: first.key,
      kind: 'reading',
      dueUntil: expect.stringMatching(/^\d{4}-\d\d-\d\dT/),
    });
    expect(await worker.dueIndex.due(1)).toHaveLength(1);
  });

  it('offers a check no more once it is raised, done or withdrawn', async () => {
    const raised = await reportDueIn(here, -300);
    const done = await reportDueIn(here, -301);
    const released = await reportDueIn(there, -302);
    expect((await duePlans()).slice(0, 3)).toEqual([released.planId, done.planId, raised.planId]);
    const alert: AlertRecord = alertRecord({
      incidentId: raised.incidentId,
      personId: here.wearer.personId,
      planId: raised.planId,
      checkKey: raised.key,
      kind: 'missed-reading',
      alertKey: `${raised.planId}/${raised.key}/1`,
    });
    expect(await worker.unitOfWork.run(here.worker, (tx) => tx.alerts.raise(alert))).toBe(true);
    await app.unitOfWork.run(here.wearer.actor, (tx) =>
      tx.plans.completeCheck(done.planId, done.key, '2026-11-21T07:00:00.000Z', null),
    );
    await app.unitOfWork.run(there.nurse.actor, (tx) =>
      tx.plans.release(released.planId, '2026-11-21T07:00:00.000Z', {
        by: there.nurse.actor.accountId ?? '',
        early: null,
      }),
    );
    const left = await duePlans();
    for (const { planId } of [raised, done, released]) expect(left).not.toContain(planId);
  });

  it('does not offer for ever what was raised before the sweep', async () => {
    const raised = await reportDueIn(here, -400);
    const alert = alertRecord({
      incidentId: raised.incidentId,
      personId: here.wearer.personId,
      planId: raised.planId,
      checkKey: raised.key,
      alertKey: `${raised.planId}/${raised.key}/1`,
    });
    await admin.query(
      `insert into alert (site_id, alert_id, alert_key, kind, person_id, incident_id, plan_id, check_key, reasons, raised_at)
       values ($1, $2, $3, 'missed-reading', $4, $5, $6, $7, '[]', now())`,
      [here.site.siteId, alert.alertId, alert.alertKey, alert.personId, alert.incidentId, alert.planId, alert.checkKey],
    );
    expect(await duePlans()).toContain(raised.planId);
    expect(await worker.unitOfWork.run(here.worker, (tx) => tx.alerts.raise(alert))).toBe(false);
    expect(await duePlans()).not.toContain(raised.planId);
  });

  it('is raised once by eight workers at the same moment', async () => {
    const { planId, incidentId, key } = await reportDueIn(here, -500);
    const raised = await Promise.all(
      Array.from({ length: 8 }, () =>
        worker.unitOfWork.run(here.worker, (tx) =>
          tx.alerts.raise(
            alertRecord({
              incidentId,
              personId: here.wearer.personId,
              planId,
              checkKey: key,
              alertKey: `${planId}/${key}/1`,
            }),
          ),
        ),
      ),
    );
    expect(raised.filter(Boolean)).toHaveLength(1);
  });

  it('follows a changed grace at once', async () => {
    const site = await enterSite(app.unitOfWork);
    const { planId } = await reportDueIn(site, -30);
    expect(await duePlans()).not.toContain(planId);
    const change = (readingGraceMinutes: number) =>
      app.unitOfWork.run(site.administrator, (tx) => tx.site.changeSettings(settings({ readingGraceMinutes })));
    await change(15);
    expect(await duePlans()).toContain(planId);
    await change(90);
    expect(await duePlans()).not.toContain(planId);
    // A plan made from now on has the new grace, whichever way it is stored.
    const later = await reportDueIn(site, -60);
    expect(await duePlans()).not.toContain(later.planId);
  });

  it('is closed to the service’s own role', async () => {
    await expect(app.dueIndex.due(1)).rejects.toThrow('42501');
    await expect(app.dueIndex.leaseMessages(1)).rejects.toThrow('42501');
  });
});

describe('a waiting message', () => {
  const waiting = async (): Promise<void> => {
    await admin.query('delete from outbox');
    await reportDueIn(here, 600);
  };

  it('is leased to one sender at a time', async () => {
    await waiting();
    const leased = (await Promise.all(Array.from({ length: 8 }, () => worker.dueIndex.leaseMessages(10)))).flat();
    expect(leased).toHaveLength(1);
    expect(leased[0]).toMatchObject({ siteId: here.site.siteId, recipient: 'oh@hospital.example', attempts: 1 });
  });

  it('is not sent again once it is marked', async () => {
    await waiting();
    const [message] = await worker.dueIndex.leaseMessages(10);
    if (!message) throw new Error('A message waits.');
    expect(await worker.dueIndex.markSent(message)).toBe(true);
    await admin.query(`update outbox set leased_until = now() - interval '1 second'`);
    expect(await worker.dueIndex.leaseMessages(10)).toEqual([]);
  });

  it('goes to another sender when a lease runs out, and the late sender’s mark is refused', async () => {
    await waiting();
    const [slow] = await worker.dueIndex.leaseMessages(10);
    await admin.query(`update outbox set leased_until = now() - interval '1 second'`);
    const [quick] = await worker.dueIndex.leaseMessages(10);
    if (!slow || !quick) throw new Error('The same message waits twice.');
    expect(quick.messageId).toBe(slow.messageId);
    expect(quick.attempts).toBe(2);
    expect(await worker.dueIndex.markSent(slow)).toBe(false);
    expect(await worker.dueIndex.markSent(quick)).toBe(true);
  });

  it('waits longer after each failure', async () => {
    await waiting();
    const waits: number[] = [];
    for (let attempt = 0; attempt < 4; attempt += 1) {
      const [message] = await worker.dueIndex.leaseMessages(10);
      if (!message) throw new Error('The message waits.');
      await worker.dueIndex.markFailed(message, 'no answer');
      expect(await worker.dueIndex.leaseMessages(10)).toEqual([]);
      const { rows } = await admin.query<{ seconds: number }>(
        `update outbox set next_attempt_at = now() returning extract(epoch from old_next - now())::integer as seconds`.replace(
          'old_next',
          '(select next_attempt_at from outbox limit 1)',
        ),
      );
      waits.push(rows[0]?.seconds ?? 0);
    }
    expect(waits).toEqual([30, 60, 120, 240]);
  });
});

describe('signing in', () => {
  const token = () => randomBytes(32).toString('hex');

  it('finds an account by its login, however it is typed, and no account without a password', async () => {
    const { actor, staffNumber } = here.nurse;
    const login = `${staffNumber}-${here.site.siteId.slice(0, 8)}`;
    const found = await app.accountDirectory.findByLogin(`  ${login.toUpperCase()} `);
    expect(found?.account).toEqual({
      accountId: actor.accountId,
      siteId: actor.siteId,
      personId: actor.personId,
      role: 'nurse',
      login: login.toLowerCase(),
      unitIds: [],
    });
    expect(found?.passwordHash).toMatch(/^\$argon2id/);
    expect(await app.accountDirectory.findByLogin(`${login}x`)).toBeNull();
    expect(await app.accountDirectory.findByLogin(`' or true --`)).toBeNull();
    await admin.query('update account set disabled_at = now() where account_id = $1', [actor.accountId]);
    expect(await app.accountDirectory.findByLogin(login)).toBeNull();
    await admin.query('update account set disabled_at = null where account_id = $1', [actor.accountId]);
  });

  it('opens a session that is found by its token until it is ended', async () => {
    const { account } = (await app.accountDirectory.findByLogin(
      `${here.manager.role}-${here.site.siteId.slice(0, 8)}`,
    )) ?? { account: null };
    if (!account) throw new Error('The builder makes a manager.');
    const hash = token();
    const opened = await app.accountDirectory.openSession(account, hash);
    expect(await app.accountDirectory.findSession(hash)).toEqual({ sessionId: opened.sessionId, account });
    expect(account.unitIds).toEqual([here.ward]);
    expect(await app.accountDirectory.findSession(token())).toBeNull();
    await app.accountDirectory.endSession(hash);
    expect(await app.accountDirectory.findSession(hash)).toBeNull();
  });

  it.each([
    ['idle for a quarter of an hour', `seen_at = now() - interval '15 minutes 1 second'`],
    ['half a day old', `expires_at = now() - interval '1 second'`],
  ])('finds no session that is %s', async (_, change) => {
    const { account } = (await app.accountDirectory.findByLogin(`administrator-${here.site.siteId.slice(0, 8)}`)) ?? {
      account: null,
    };
    if (!account) throw new Error('The builder makes an administrator.');
    const hash = token();
    const { sessionId } = await app.accountDirectory.openSession(account, hash);
    const { rows } = await admin.query<{ hours: number }>(
      `select extract(hours from expires_at - opened_at)::integer as hours from session where session_id = $1`,
      [sessionId],
    );
    expect(rows[0]?.hours).toBe(12);
    await admin.query(`update session set ${change} where session_id = $1`, [sessionId]);
    expect(await app.accountDirectory.findSession(hash)).toBeNull();
  });

  it('moves the idle clock, at most once a minute', async () => {
    const { account } = (await app.accountDirectory.findByLogin(`administrator-${here.site.siteId.slice(0, 8)}`)) ?? {
      account: null,
    };
    if (!account) throw new Error('The builder makes an administrator.');
    const hash = token();
    const { sessionId } = await app.accountDirectory.openSession(account, hash);
    const seen = async (minutesAgo: string) => {
      await admin.query(`update session set seen_at = now() - $2::interval where session_id = $1`, [
        sessionId,
        minutesAgo,
      ]);
      expect(await app.accountDirectory.findSession(hash)).not.toBeNull();
      const { rows } = await admin.query<{ seconds: number }>(
        `select extract(epoch from now() - seen_at)::integer as seconds from session where session_id = $1`,
        [sessionId],
      );
      return rows[0]?.seconds ?? 0;
    };
    expect(await seen('14 minutes')).toBeLessThan(5);
    expect(await seen('30 seconds')).toBeGreaterThanOrEqual(30);
  });
});

describe('what is long past', () => {
  it('is forgotten: replays after 30 days and sessions a week after their end, and nothing younger', async () => {
    await admin.query(`update idempotency_replay set created_at = now() - interval '31 days'
      where ctid in (select ctid from idempotency_replay limit 2)`);
    await admin.query(`update session set expires_at = now() - interval '8 days'
      where ctid in (select ctid from session limit 1)`);
    const count = async () => {
      const { rows } = await admin.query<{ n: string }>(
        `select (select count(*) from idempotency_replay) + (select count(*) from session) as n`,
      );
      return Number(rows[0]?.n);
    };
    const before = await count();
    expect(await worker.dueIndex.forgetExpired(1_000)).toBe(3);
    expect(await count()).toBe(before - 3);
    expect(await worker.dueIndex.forgetExpired(1_000)).toBe(0);
  });
});

describe('a wake-up', () => {
  it('reaches the worker once its transaction is committed, and never when it is not', async () => {
    const boss = new PgBoss({ connectionString: database.workerUrl, ...JOB_SETTINGS, schedule: false, max: 2 });
    const failures: unknown[] = [];
    boss.on('error', (error) => failures.push(error));
    await boss.start();
    const woken: object[] = [];
    await boss.work('sweep-due', { pollingIntervalSeconds: 0.5 }, (jobs) => {
      woken.push(...jobs.map(({ data }) => data as object));
      return Promise.resolve();
    });
    await expect(
      app.unitOfWork.run(here.wearer.actor, async (tx) => {
        await tx.wake('sweep-due');
        throw new Error('on purpose');
      }),
    ).rejects.toThrow('on purpose');
    await sleep(1_500);
    expect(woken).toEqual([]);
    await app.unitOfWork.run(here.wearer.actor, (tx) => tx.wake('sweep-due'));
    await worker.unitOfWork.run(here.worker, (tx) => tx.wake('sweep-due'));
    for (let waited = 0; waited < 50 && woken.length < 2; waited += 1) await sleep(100);
    expect(woken).toEqual([{}, {}]);
    // The worker's role is enough for everything that the library does at run time.
    await boss.supervise();
    await boss.stop({ graceful: true });
    expect(failures).toEqual([]);
  });
});

describe('durability', () => {
  it('is what the server says it is', async () => {
    const findings = await checkDurability(app.dataSource);
    expect(findings.filter(({ ok }) => !ok)).toEqual([]);
    expect(findings.map(({ setting }) => setting)).toEqual(
      expect.arrayContaining(['fsync', 'full_page_writes', 'synchronous_commit', 'data_checksums']),
    );
  });

  it('is found wanting where a setting gives it up', async () => {
    const loose = new URL(database.appUrl);
    loose.searchParams.set('options', '-c synchronous_commit=off');
    const persistence = await createPersistence({ url: loose.href, masterKey: database.masterKey });
    const findings = await checkDurability(persistence.dataSource);
    await persistence.close();
    expect(findings.filter(({ ok }) => !ok)).toEqual([
      {
        setting: 'synchronous_commit',
        value: 'off',
        wanted: 'on, remote_write or remote_apply',
        ok: false,
        required: true,
      },
    ]);
  });
});
