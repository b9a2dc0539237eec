import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import type pg from 'pg';
import { v7 } from 'uuid';
import { aReport } from '../api/support/reports.js';
import { findKeptReports, type KeptReports } from './support/kept-reports.js';
import { startServiceUnderFault, until, type ServiceUnderFault } from './support/service-under-fault.js';
import { enterWearers } from './support/wearers.js';
import { WriteLoop, type Acknowledged } from './support/write-loop.js';

const PATIENCE_MS = 120_000;

/** Whether the tests of this folder can fail: each thing that they say does not happen is brought about here. */
describe('the search for acknowledged reports', () => {
  let service: ServiceUnderFault;
  let cookies: string[];
  let loop: WriteLoop | undefined;
  let acknowledged: readonly Acknowledged[];

  const report = async (milliseconds: number): Promise<readonly Acknowledged[]> => {
    const writing = (loop = new WriteLoop({ address: service.address, cookies }));
    await sleep(milliseconds);
    return (await writing.end()).acknowledged;
  };
  const withDatabase = async <T>(work: (database: pg.Client) => Promise<T>): Promise<T> => {
    const database = await service.connect();
    try {
      return await work(database);
    } finally {
      await database.end();
    }
  };
  /** What is found after somebody went behind the service's back; nothing of it stays. */
  const afterTampering = (statement: string, values: readonly string[]): Promise<KeptReports> =>
    withDatabase(async (database) => {
      await database.query('begin');
      // Neither triggers nor foreign keys hold now.
      await database.query(`set local session_replication_role = 'replica'`);
      const { rowCount } = await database.query(statement, [...values]);
      expect(rowCount).toBeGreaterThan(0);
      const kept = await findKeptReports(database, acknowledged);
      await database.query('rollback');
      return kept;
    });
  const anyWithPlan = (): Acknowledged => {
    const found = acknowledged.find(({ planId }) => planId !== null);
    if (!found) throw new Error('No report of a breach was acknowledged.');
    return found;
  };

  beforeAll(async () => {
    service = await startServiceUnderFault();
    cookies = await enterWearers(service, 4);
    acknowledged = await report(1_500);
  }, PATIENCE_MS);

  afterAll(async () => {
    loop?.abandon();
    await service?.stop();
  });

  it('finds nothing wrong before anything is', async () => {
    expect(acknowledged.length).toBeGreaterThan(10);
    expect(await withDatabase((database) => findKeptReports(database, acknowledged))).toEqual({
      kept: acknowledged.length,
      lost: [],
      doubled: [],
      halfWritten: [],
      unasked: [],
    });
  });

  it('misses a report that was never sent, and one that is stored under another id', async () => {
    const sent = anyWithPlan();
    const neverSent = { ...sent, reportId: v7(), incidentId: v7() };
    const answeredWrongly = { ...sent, incidentId: v7() };
    const kept = await withDatabase((database) =>
      findKeptReports(database, [...acknowledged.filter((one) => one !== sent), neverSent, answeredWrongly]),
    );

    expect(kept.lost).toEqual([neverSent.reportId, answeredWrongly.reportId]);
  });

  it('finds a report that no client knows', async () => {
    const kept = await withDatabase((database) => findKeptReports(database, acknowledged.slice(1)));

    expect(kept.unasked).toEqual([acknowledged[0]?.reportId]);
  });

  it.each([
    ['tellings', 'delete from telling where incident_id = $1'],
    ['assessments', 'delete from assessment where incident_id = $1'],
    ['breaches', 'delete from incident_breach where incident_id = $1'],
    ['plans', 'delete from plan where incident_id = $1'],
    [
      'checks',
      `delete from plan_check where position = 3
       and plan_id = (select plan_id from plan where incident_id = $1)`,
    ],
    ['callBacks', 'delete from alert where incident_id = $1'],
    ['notices', 'delete from outbox where alert_id in (select alert_id from alert where incident_id = $1)'],
    ['receipts', 'delete from report_receipt where incident_id = $1'],
    ['ledgerEntries', `delete from ledger_entry where subject_id = $1::text and action = 'incident.reported'`],
    ['storedAnswers', `delete from idempotency_replay where body ->> 'incidentId' = $1::text`],
  ])('misses a part: %s', async (part, statement) => {
    const { reportId, incidentId } = anyWithPlan();
    const { halfWritten, lost } = await afterTampering(statement, [incidentId]);

    expect(lost).toEqual([]);
    expect(halfWritten).toContainEqual(expect.objectContaining({ reportId, part }));
  });

  it('finds a part that is there twice', async () => {
    const { reportId, incidentId } = anyWithPlan();
    const { doubled } = await afterTampering(
      `insert into assessment select site_id, gen_random_uuid(), incident_id, revision, person_id, 'another table',
         facts_version, facts, result, barrier, profile, governing, made_at
       from assessment where incident_id = $1`,
      [incidentId],
    );

    expect(doubled).toEqual([{ reportId, part: 'assessments', promised: 1, stored: 2 }]);
  });

  it('finds a report that is stored twice once the database no longer forbids it', async () => {
    await withDatabase(async (database) => {
      await database.query(
        'alter table incident drop constraint incident_report_key, drop constraint incident_report_fkey',
      );
      await database.query('alter table report_receipt drop constraint report_receipt_pkey');
    });
    const body = JSON.stringify(aReport({ reportId: v7() }));
    const sent = await Promise.all(
      [1, 2].map(async () => {
        const response = await fetch(`${service.address}/api/v1/incidents`, {
          method: 'POST',
          headers: { 'content-type': 'application/json', 'idempotency-key': randomUUID(), cookie: cookies[0] ?? '' },
          body,
        });
        return (await response.json()) as { reportId: string; incidentId: string };
      }),
    );
    const [one] = sent;
    expect(new Set(sent.map(({ incidentId }) => incidentId)).size).toBe(2);
    const { doubled } = await withDatabase((database) =>
      findKeptReports(database, [
        { ...anyWithPlan(), reportId: one?.reportId ?? '', incidentId: one?.incidentId ?? '' },
      ]),
    );

    expect(doubled).toContainEqual({ reportId: one?.reportId, part: 'incidents', promised: 1, stored: 2 });
  });

  it(
    'misses reports that a database acknowledged before they were on disk',
    async () => {
      await withDatabase(async (database) => {
        // What is not waited for stays in memory for long, so that every kill is sure to meet some.
        await database.query(`alter system set wal_writer_delay = '10s'`);
        await database.query(`alter role innerglove_app set synchronous_commit = off`);
        await database.query(`alter role innerglove_worker set synchronous_commit = off`);
        await database.query('select pg_reload_conf()');
        await database.query(
          `select pg_terminate_backend(pid) from pg_stat_activity where usename in ('innerglove_app', 'innerglove_worker')`,
        );
      });
      const writing = (loop = new WriteLoop({ address: service.address, cookies }));
      for (let kill = 0; kill < 3; kill += 1) {
        await sleep(1_500);
        const killed = await service.kill('database');
        await until('reports are acknowledged again', () => writing.answersSince(killed));
      }
      const written = (await writing.end()).acknowledged;
      const { lost } = await withDatabase((database) => findKeptReports(database, written));
      process.stdout.write(`synchronous_commit off: ${written.length} acknowledged, ${lost.length} of them lost\n`);

      expect(lost.length).toBeGreaterThan(0);
    },
    PATIENCE_MS,
  );

  it(
    'could not have gone so wrong unnoticed: the API refuses to start on such a database until it is mended',
    async () => {
      expect(await (await fetch(`${service.address}/health/ready`)).json()).toMatchObject({
        warnings: [expect.stringContaining('synchronous_commit')],
      });
      const refused = service.logged('api-did-not-start');
      const before = service.processOf('api');
      await service.kill('api');
      await until('the API refuses to start', () => service.logged('api-did-not-start') > refused);
      expect(service.processOf('api')).toBe(before);

      await withDatabase((database) => database.query('alter role innerglove_app reset synchronous_commit'));
      await until('the API starts', () => service.processOf('api') !== before);
    },
    PATIENCE_MS,
  );
});
