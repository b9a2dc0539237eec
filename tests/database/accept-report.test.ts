import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import type { EntityTarget, ObjectLiteral, QueryRunner } from 'typeorm';
import type { AcceptedReport } from '#application';
import { createDataSource, createPersistence, type Persistence } from '#persistence';
import { AlertEntity } from '../../libs/persistence/entities/alert.entity.js';
import { AssessmentEntity } from '../../libs/persistence/entities/assessment.entity.js';
import { DutyStatusEntity } from '../../libs/persistence/entities/duty-status.entity.js';
import { IdempotencyReplayEntity } from '../../libs/persistence/entities/idempotency-replay.entity.js';
import {
  EventEntity,
  IncidentBreachEntity,
  IncidentEntity,
  IncidentLapseEntity,
  ReportReceiptEntity,
} from '../../libs/persistence/entities/incident.entity.js';
import { LedgerEntryEntity } from '../../libs/persistence/entities/ledger-entry.entity.js';
import { OutboxEntity } from '../../libs/persistence/entities/outbox.entity.js';
import { PlanCheckEntity, PlanEntity } from '../../libs/persistence/entities/plan.entity.js';
import { TellingEntity, TellingTextEntity } from '../../libs/persistence/entities/telling.entity.js';
import { checksToEntities, EvidenceList } from '../../libs/persistence/mappers/plan.mapper.js';
import { SealingKey } from '../../libs/persistence/sealing/envelope.js';
import { acceptedRows } from '../../libs/persistence/stores/accept-document.js';
import { enterContext } from '../support/acting.js';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { acceptedReport } from '../support/builders/report.js';
import { enterSite, type TestSite } from '../support/builders/site.js';

const TABLES = [
  ...['event', 'report_receipt', 'incident', 'telling', 'telling_text', 'incident_breach', 'incident_lapse'],
  ...['assessment', 'plan', 'plan_check', 'duty_status', 'alert', 'outbox', 'ledger_entry', 'idempotency_replay'],
];
/** What is another value every time: the nonce of a seal, a transaction, a clock. */
const NEVER_THE_SAME = ['sealed', 'xact', 'recorded_at', 'created_at', 'next_attempt_at', 'entry_id'];

let database: TestDatabase;
let persistence: Persistence;
let admin: pg.Client;
let site: TestSite;

beforeAll(async () => {
  database = await createTestDatabase();
  persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterSite(persistence.unitOfWork);
  admin = new pg.Client({ connectionString: database.adminUrl });
  await admin.connect();
});

afterAll(async () => {
  await admin.end();
  await persistence.close();
  await database.drop();
});

/** Every row about the report, as the database holds it. */
async function rowsIn(query: (text: string) => Promise<{ row: Record<string, unknown> }[]>): Promise<object> {
  const all: Record<string, Record<string, unknown>[]> = {};
  for (const table of TABLES) {
    const rows = await query(
      `select to_jsonb(t) as row from ${table} t order by to_jsonb(t) - '{sealed,xact}'::text[]`,
    );
    all[table] = rows.map(({ row }) =>
      Object.fromEntries(Object.entries(row).filter(([name]) => !NEVER_THE_SAME.includes(name))),
    );
  }
  return all;
}

const emptied = async (): Promise<void> => {
  await admin.query(`set session_replication_role = replica`);
  for (const table of [...TABLES].reverse()) await admin.query(`delete from ${table}`);
  await admin.query(`set session_replication_role = origin`);
};

/** The same report through the entities alone, as plain inserts one after another. */
async function throughEntities(report: AcceptedReport): Promise<void> {
  const { siteId } = site.site;
  const rows = acceptedRows(siteId, report, SealingKey.create());
  const evidence = new EvidenceList();
  const checks = report.plan
    ? checksToEntities(report.plan.plan.checks, {
        siteId,
        plan: report.plan,
        evidence,
        graceMinutes: site.site.settings.readingGraceMinutes,
        alerts: report.alerts,
      })
    : [];
  const source = await createDataSource({ url: database.adminUrl, poolSize: 1 }).initialize();
  const runner: QueryRunner = source.createQueryRunner();
  await runner.startTransaction();
  // The database stamps the actor from the context, whoever writes.
  await enterContext((await runner.connect()) as pg.Client, site.wearer.actor);
  const insert = async <E extends ObjectLiteral>(target: EntityTarget<E>, values: object | object[] | null) => {
    if (values === null || (Array.isArray(values) && values.length === 0)) return;
    await runner.manager
      .createQueryBuilder()
      .insert()
      .into(target)
      .values(values as E)
      .updateEntity(false)
      .execute();
  };
  await insert(EventEntity, rows.event);
  await insert(ReportReceiptEntity, rows.receipt);
  await insert(IncidentEntity, rows.incident);
  await insert(TellingEntity, rows.telling);
  await insert(TellingTextEntity, rows.text);
  await insert(IncidentBreachEntity, rows.breaches);
  await insert(IncidentLapseEntity, rows.lapses);
  await insert(AssessmentEntity, rows.assessment);
  await insert(PlanEntity, rows.plan);
  await insert(PlanCheckEntity, checks);
  await insert(DutyStatusEntity, rows.duty);
  await insert(AlertEntity, rows.alerts);
  await insert(OutboxEntity, rows.outbox);
  await insert(LedgerEntryEntity, rows.ledger);
  await insert(IdempotencyReplayEntity, rows.replay);
  await runner.commitTransaction();
  await runner.release();
  await source.destroy();
}

const stored = () => rowsIn(async (text) => (await admin.query<{ row: Record<string, unknown> }>(text)).rows);

describe('accept-report.sql', () => {
  const reports: Record<string, () => AcceptedReport> = {
    'a whole report': () => acceptedReport(site),
    'a report without words, plan and replay': () => ({
      ...acceptedReport(site, { account: null, plan: null }),
      dutyStatus: null,
      replay: null,
      outbox: [],
      alerts: [],
    }),
    'a near miss without a layer': () =>
      acceptedReport(site, { plan: null, content: { kind: 'near-miss', breaches: [], lapses: [] } }),
    'a report whose alert is about a check of its plan': () => {
      const report = acceptedReport(site);
      return {
        ...report,
        alerts: report.alerts.map((alert) => ({ ...alert, checkKey: 'review/1' })),
      };
    },
    'words that would break a careless statement': () =>
      acceptedReport(site, {
        account: `'; drop table incident; -- \\ "quoted" \u2028 é 手袋 \u{1F9E4}`,
        content: { step: `o'clock "step" \\x00`, agent: '{"a": null}' },
      }),
  };

  it.each(Object.keys(reports))('stores %s row for row as the entities do', async (name) => {
    const report = (reports[name] as () => AcceptedReport)();
    await persistence.unitOfWork.run(site.wearer.actor, (tx) => tx.incidents.accept(report));
    const once = await stored();
    await emptied();
    await throughEntities(report);
    const twice = await stored();
    await emptied();
    expect(once).toEqual(twice);
    expect(once).toMatchObject({ incident: [{ incident_id: report.incident.incidentId }] });
  });

  it('stores nothing at all when any part of it is refused', async () => {
    const report = acceptedReport(site);
    const broken: AcceptedReport[] = [
      { ...report, ledger: [{ ...report.ledger[0], personId: 'no uuid' } as never] },
      { ...report, incident: { ...report.incident, unitId: report.incident.eventId } },
      { ...report, alerts: [...report.alerts, ...report.alerts] },
      { ...report, incident: { ...report.incident, state: 'elsewhere' as never } },
      { ...report, telling: { ...report.telling, byAccount: site.nurse.actor.accountId } },
    ];
    for (const one of broken) {
      await expect(persistence.unitOfWork.run(site.wearer.actor, (tx) => tx.incidents.accept(one))).rejects.toThrow();
      const rows = (await stored()) as Record<string, unknown[]>;
      expect(Object.values(rows).flat()).toEqual([]);
    }
  });

  it('joins an event that is there already', async () => {
    const first = acceptedReport(site);
    const second = acceptedReport(site, { eventId: first.incident.eventId, about: site.buddy });
    await persistence.unitOfWork.run(site.wearer.actor, (tx) => tx.incidents.accept(first));
    await persistence.unitOfWork.run(site.buddy.actor, (tx) => tx.incidents.accept(second));
    const { event, incident } = (await stored()) as Record<string, unknown[]>;
    expect(event).toHaveLength(1);
    expect(incident).toHaveLength(2);
    await emptied();
  });
});
