import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import type { QueryRunner } from 'typeorm';
import type { Actor, Transaction } from '#application';
import { createDataSource, createPersistence, persistenceOver } from '#persistence';
import { enterContext } from '../support/acting.js';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { enterFullSite, type FullSite } from '../support/builders/full-site.js';

/** Small enough that reading them whole is right. */
const SMALL = new Set(['site', 'unit', 'site_key', 'local_confirmation']);

let database: TestDatabase;
let site: FullSite;
let admin: pg.Client;

/** Enough of everything, at forty other sites, that a plan without an index would be the wrong one. */
const FILL = `
  set session_replication_role = replica;
  create temporary table copy as
    select md5('site' || s)::uuid as site_id, s, n, md5(s || '-' || n)::uuid as id
    from generate_series(1, 40) s, generate_series(1, 250) n;
  insert into incident
    select c.site_id, c.id, c.id, c.id, c.id, i.unit_id, i.ensemble_id, i.ensemble_version, i.state, i.revision,
      c.id, i.reported_at + c.n * interval '1 minute', i.reported_by_account, i.identity_confirmed_at, i.kind, i.stage,
      i.step, i.occurred_on + c.n % 100, 1 + c.n % 5, i.content
    from copy c, (select * from incident limit 1) i;
  insert into assessment
    select c.site_id, c.id, c.id, 1, c.id, a.table_hash, a.facts_version, a.facts, a.result, a.barrier, a.profile,
      a.governing, a.made_at
    from copy c, (select * from assessment limit 1) a;
  insert into telling select c.site_id, c.id, 1, c.id, t.kind, t.content, t.by_account, t.told_at
    from copy c, (select * from telling limit 1) t;
  insert into telling_text select c.site_id, c.id, 1, c.id, t.sealed from copy c, (select * from telling_text limit 1) t;
  insert into determination
    select c.site_id, c.id, c.id, c.id, 1, c.id, d.category_id, d.category, d.departs, d.signed_by, null, d.signed_at
    from copy c, (select * from determination limit 1) d;
  insert into determination_text
    select c.site_id, c.id, c.id, d.sealed from copy c, (select * from determination_text limit 1) d;
  insert into incident_lapse select c.site_id, c.id, 'face-touched' from copy c;
  insert into incident_breach select c.site_id, c.id, 0, 'gown', 'total', 'tear' from copy c;
  insert into plan
    select c.site_id, c.id, c.id, c.id, 1, 'interim', null, 'running', null, p.day_zero, p.last_day, p.content, p.evidence
    from copy c, (select * from plan limit 1) p;
  insert into plan_check
    select c.site_id, c.id, 'reading/' || r, c.id, 'reading', k.local_date, k.slot, r, now() + (r + c.n) * interval '6 hours',
      0, now() + (r + c.n + 1) * interval '6 hours', 0, 0, r, now() + (r + c.n + 2) * interval '6 hours', null, 'due', null, null
    from copy c, generate_series(1, 12) r, (select * from plan_check limit 1) k;
  insert into reading
    select c.site_id, md5(c.id || '-' || r)::uuid, c.id, c.id, null, now(), '36.6', 'Cel', 'ear', 'no', 'no', '{}', null, now(),
      false, '{}'
    from copy c, generate_series(1, 4) r;
  insert into alert
    select c.site_id, c.id, c.id::text, 'call-back', c.id, c.id, c.id, null, '[]', now(), null, null, null, null, null,
      case when c.n % 10 > 0 then now() end
    from copy c;
  insert into person
    select c.site_id, c.id, p.unit_id, c.id::text, c.id, p.job, p.time_zone from copy c, (select * from person limit 1) p;
  insert into person_key select c.site_id, c.id, k.wrapped from copy c, (select * from person_key limit 1) k;
  insert into person_identity
    select c.site_id, c.id, decode(md5(c.id::text), 'hex'), i.sealed from copy c, (select * from person_identity limit 1) i;
  insert into person_name select c.site_id, c.id, c.id, n.sealed from copy c, (select * from person_name limit 1) n;
  insert into duty_status select c.site_id, c.id, c.id, c.id, 'not-on-site', null, null, 'nurse' from copy c;
  insert into report_receipt select c.site_id, c.id, c.id, now() from copy c;
  insert into source select c.site_id, c.id, c.id::text from copy c;
  insert into source_status select c.site_id, c.id, 0, 'suspected', 'ebola', '2026-11-20', null, c.id, now() from copy c;
  insert into letter
    select c.site_id, c.id, c.id, c.id, 'referral', 1, 'x', 'A4', now(), null, null from copy c;
  insert into account
    select c.site_id, c.id, null, 'wearer', c.id::text, 'x', '{}', null, now() from copy c;
  insert into account_login select c.id::text, c.site_id, c.id from copy c;
  insert into session
    select c.site_id, c.id, c.id, decode(md5(c.id::text), 'hex'), now(), now(), interval '1 hour', now() + interval '1 hour', null
    from copy c;
  insert into idempotency_replay (site_id, principal, route, key, account_id, fingerprint, status, body)
    select c.site_id, c.id::text, 'POST', c.id::text, c.id, 'x', 201, '{}' from copy c;
  insert into outbox (site_id, message_id, recipient, subject, text, sent_at)
    select c.site_id, c.id, 'x', 'x', 'x', now() from copy c;
  insert into ppe_use select c.site_id, c.id, '2026-11-20', 'full', 3 from copy c;
  set session_replication_role = origin;
`;

beforeAll(async () => {
  database = await createTestDatabase();
  const persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterFullSite(persistence.unitOfWork);
  await persistence.close();
  admin = new pg.Client({ connectionString: database.adminUrl });
  await admin.connect();
  await admin.query(FILL);
  await admin.query('vacuum analyze');
});

afterAll(async () => {
  await admin.end();
  await database.drop();
});

interface PlanNode {
  readonly 'Node Type': string;
  readonly 'Relation Name'?: string;
  readonly Plans?: PlanNode[];
}

const scansOf = (node: PlanNode): string[] => [
  ...(node['Node Type'] === 'Seq Scan' && node['Relation Name'] ? [node['Relation Name']] : []),
  ...(node.Plans ?? []).flatMap(scansOf),
];

/** Runs an operation and explains, as the same actor, every statement that it sent. */
async function explain(url: string, actor: Actor, operation: (tx: Transaction) => Promise<unknown>): Promise<string[]> {
  const source = await createDataSource({ url, poolSize: 1 }).initialize();
  const sent: { text: string; values: unknown[] }[] = [];
  const create = source.createQueryRunner.bind(source);
  source.createQueryRunner = (mode): QueryRunner => {
    const runner = create(mode);
    const query = runner.query.bind(runner);
    runner.query = ((text: string, values: unknown[] = [], ...rest: []) => {
      sent.push({ text, values });
      return query(text, values, ...rest);
    }) as QueryRunner['query'];
    return runner;
  };
  const persistence = persistenceOver(source, { masterKey: database.masterKey });
  await persistence.unitOfWork.run(actor, operation);
  await persistence.close();
  await source.destroy();

  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query('begin');
  await enterContext(client, actor);
  const scanned: string[] = [];
  for (const { text, values } of sent.filter((one) => /^\s*(select|with|update|insert|delete)/i.test(one.text))) {
    const { rows } = await client.query<{ 'QUERY PLAN': [{ Plan: PlanNode }] }>(
      `explain (format json) ${text}`,
      values,
    );
    const plan = rows[0]?.['QUERY PLAN'][0].Plan;
    if (plan) scanned.push(...scansOf(plan).filter((table) => !SMALL.has(table)));
  }
  await client.query('rollback');
  await client.end();
  expect(sent.length).toBeGreaterThan(1);
  return scanned;
}

describe('no row policy makes the database read a whole table', () => {
  const incidentId = () => site.report.incident.incidentId;
  const planId = () => site.report.plan?.planId ?? '';
  const nurse: Record<string, (tx: Transaction) => Promise<unknown>> = {
    'the queue': (tx) => tx.incidents.list({ limit: 50 }),
    'the queue by state': (tx) => tx.incidents.list({ limit: 50, state: 'open' }),
    'incidents of a source': (tx) => tx.incidents.list({ limit: 50, sourceId: site.report.incident.sourceId ?? '' }),
    'incidents of an event': (tx) => tx.incidents.list({ limit: 50, eventId: site.report.incident.eventId }),
    'one incident': (tx) => tx.incidents.findForChange(incidentId()),
    'a resend': (tx) => tx.incidents.findByReportId(site.report.incident.reportId),
    'what was told': (tx) => tx.incidents.tellings(incidentId()),
    standings: (tx) => tx.incidents.standings([incidentId(), site.typed.incident.incidentId]),
    determinations: (tx) => tx.incidents.determinations(incidentId()),
    'a plan with its checks': (tx) => tx.plans.findByIncident(incidentId()),
    'plans of a person': (tx) => tx.plans.listByPerson(site.wearer.personId),
    'running plans': (tx) => tx.plans.running(),
    readings: (tx) => tx.plans.readings(planId()),
    'a finished check': (tx) => tx.plans.completeCheck(planId(), 'release/1', '2026-12-12T00:00:00Z', null),
    'a replaced plan': (tx) => (site.report.plan ? tx.plans.replace(site.report.plan) : Promise.resolve()),
    'open alerts': (tx) => tx.alerts.list({ open: true }),
    'alerts of an incident': (tx) => tx.alerts.list({ incidentId: incidentId() }),
    identities: (tx) => tx.people.identities([site.wearer.personId, site.buddy.personId]),
    'the duty list': (tx) => tx.dutyStatuses.list(),
    sources: (tx) => tx.sources.findByPseudonym('PT-1'),
    letters: (tx) => tx.letters.listByIncident(incidentId()),
    counts: (tx) => tx.insight.count('2026-11-01', '2026-11-30'),
  };

  it.each(Object.keys(nurse))('for the nurse: %s', async (name) => {
    expect(await explain(database.appUrl, site.nurse.actor, nurse[name] as (typeof nurse)[string])).toEqual([]);
  });

  const wearer: Record<string, (tx: Transaction) => Promise<unknown>> = {
    'own incidents': (tx) => tx.incidents.list({ limit: 50, personId: site.wearer.personId }),
    'own incident': (tx) => tx.incidents.find(incidentId()),
    'own words': (tx) => tx.incidents.tellings(incidentId()),
    'own assessments': (tx) => tx.incidents.assessments(incidentId()),
    'own plan': (tx) => tx.plans.findByIncident(incidentId()),
    'own readings': (tx) => tx.plans.readings(planId()),
    'own replay': (tx) => tx.replays.find('x', 'y', 'z'),
    amendment: (tx) =>
      tx.incidents.appendTelling(
        { ...site.report.incident, revision: 9 },
        { ...site.report.telling, revision: 9, kind: 'amendment', account: null, buddy: null },
      ),
  };

  it.each(Object.keys(wearer))('for the wearer: %s', async (name) => {
    expect(await explain(database.appUrl, site.wearer.actor, wearer[name] as (typeof wearer)[string])).toEqual([]);
  });

  it('for the manager: the own team’s duty list and its names', async () => {
    const operation = async (tx: Transaction) => {
      await tx.dutyStatuses.list();
      await tx.dutyStatuses.names([site.wearer.personId]);
    };
    expect(await explain(database.appUrl, site.manager, operation)).toEqual([]);
  });

  it('for infection control: queue and counts', async () => {
    const operation = async (tx: Transaction) => {
      await tx.incidents.list({ limit: 50 });
      await tx.insight.count('2026-11-01', '2026-11-30');
    };
    expect(await explain(database.appUrl, site.infectionControl, operation)).toEqual([]);
  });

  it('inside the functions that run before or across sites', async () => {
    const { rows } = await admin.query<{ body: string; name: string }>(
      `select proname as name, prosrc as body from pg_proc where prosecdef and pronamespace = 'public'::regnamespace`,
    );
    expect(rows.length).toBeGreaterThan(8);
    const client = new pg.Client({ connectionString: database.adminUrl });
    await client.connect();
    const calls = [
      `select * from find_account('nobody')`,
      `select * from find_session('\\x00')`,
      `select end_session('\\x00')`,
      `select * from due_checks(10)`,
      `select * from lease_messages(10, interval '1 minute')`,
      `select settle_message(gen_random_uuid(), gen_random_uuid(), gen_random_uuid(), null)`,
      `select forget_expired(10)`,
    ];
    const before = await scanned(client);
    for (const call of calls) await client.query(call);
    const after = await scanned(client);
    expect(after).toEqual(before);
    // The count sees a whole read where there is one.
    await admin.query('drop index plan_check_due_idx');
    await client.query('select * from due_checks(10)');
    const without = await scanned(client);
    await client.end();
    expect(Number(without['plan_check'])).toBeGreaterThan(Number(after['plan_check']));
  });

  /** How often each table has been read whole, as the server counts. */
  async function scanned(client: pg.Client): Promise<Record<string, string>> {
    await client.query('select pg_stat_force_next_flush()');
    await client.query('select pg_stat_clear_snapshot()');
    const { rows } = await client.query<{ relname: string; seq_scan: string }>(
      `select relname, seq_scan from pg_stat_user_tables where schemaname = 'public' order by 1`,
    );
    return Object.fromEntries(
      rows.filter(({ relname }) => !SMALL.has(relname)).map((row) => [row.relname, row.seq_scan]),
    );
  }
});
