import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type pg from 'pg';
import type { DataSource, QueryRunner } from 'typeorm';
import type { Actor, Transaction } from '#application';
import { createDataSource, createPersistence, persistenceOver, type Persistence } from '#persistence';
import { Acting } from '../../support/acting.js';
import { createTestDatabase, type TestDatabase, type TestPostgres } from '../../support/database.js';
import { enterFullSite, type FullSite } from '../../support/builders/full-site.js';

/** Refused for want of a right, or by a row policy: the server has one code for both. */
const REFUSED = '42501';

/** Which tables hold anything for whom, at a site where every table is filled. Everything else is empty or refused. */
const SEES: Readonly<Record<string, readonly string[]>> = {
  wearer: [
    ...['account', 'alert', 'assessment', 'determination', 'determination_text', 'duty_status', 'event'],
    ...['idempotency_replay', 'incident', 'incident_breach', 'incident_lapse', 'ledger_entry', 'letter', 'letter_pdf'],
    ...['local_confirmation', 'person', 'person_identity', 'person_key', 'person_name', 'plan', 'plan_check'],
    ...['reading', 'report_receipt', 'site', 'site_key', 'source', 'source_status', 'telling', 'telling_text', 'unit'],
  ],
  nurse: [
    ...['account', 'alert', 'alert_text', 'assessment', 'determination', 'determination_text', 'duty_status', 'event'],
    ...['incident', 'incident_breach', 'incident_lapse', 'ledger_entry', 'letter', 'letter_pdf', 'local_confirmation'],
    ...['person', 'person_identity', 'person_key', 'person_name', 'plan', 'plan_check', 'plan_release', 'ppe_use'],
    ...['reading', 'report_receipt', 'site', 'site_key', 'source', 'source_status', 'telling', 'telling_text', 'unit'],
  ],
  'infection-control': [
    ...['account', 'assessment', 'determination', 'event', 'incident', 'incident_breach', 'incident_lapse'],
    ...[
      'ledger_entry',
      'local_confirmation',
      'person',
      'ppe_use',
      'site',
      'source',
      'source_status',
      'telling',
      'unit',
    ],
  ],
  manager: ['duty_status', 'person_key', 'person_name', 'site', 'unit'],
  administrator: ['account', 'local_confirmation', 'person', 'ppe_use', 'site', 'site_key', 'unit'],
  worker: ['alert', 'duty_status', 'incident', 'local_confirmation', 'person', 'plan', 'plan_check', 'site', 'unit'],
};

/** What stands about somebody by name, in words, or by a number that identifies: nobody but the nurse reads others'. */
const IDENTITY = ['person_identity', 'person_name', 'telling_text', 'determination_text', 'alert_text', 'letter_pdf'];
/** All that says what happened to somebody. */
const CLINICAL = [
  ...['alert', 'alert_text', 'assessment', 'determination', 'determination_text', 'incident', 'incident_breach'],
  ...['incident_lapse', 'letter', 'letter_pdf', 'plan', 'plan_check', 'plan_release', 'reading', 'source'],
  ...['source_status', 'telling', 'telling_text', 'idempotency_replay', 'outbox'],
];

/** The same suite for every PostgreSQL that the service says it runs on. */
export function rowSecurity(postgres?: TestPostgres): void {
  let database: TestDatabase;
  let persistence: Persistence;
  let here: FullSite;
  let there: FullSite;
  let app: Acting;
  let worker: Acting;
  let admin: Acting;
  let tables: string[];

  beforeAll(async () => {
    database = await createTestDatabase(postgres ? { postgres } : {});
    persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
    here = await enterFullSite(persistence.unitOfWork);
    there = await enterFullSite(persistence.unitOfWork);
    [app, worker, admin] = [
      await Acting.on(database.appUrl),
      await Acting.on(database.workerUrl),
      await Acting.on(database.adminUrl),
    ];
    tables = await admin.as(null, async (client) => {
      const { rows } = await client.query<{ name: string }>(
        `select c.relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
         where n.nspname = 'public' and c.relkind = 'r' and c.relname <> 'schema_migration' order by 1`,
      );
      return rows.map(({ name }) => name);
    });
  });

  afterAll(async () => {
    await Promise.all([app.end(), worker.end(), admin.end()]);
    await persistence.close();
    await database.drop();
  });

  const connectionOf = (actor: Actor | null): Acting => (actor?.role === 'worker' ? worker : app);
  const everybodyAt = (site: FullSite): Record<string, Actor> => ({
    wearer: site.wearer.actor,
    nurse: site.nurse.actor,
    'infection-control': site.infectionControl,
    manager: site.manager,
    administrator: site.administrator,
    worker: site.worker,
  });

  /** How many rows of a table the actor sees; null where even looking is refused. */
  const visible = (actor: Actor | null, table: string, where = 'true'): Promise<number | null> => {
    const acting = connectionOf(actor);
    return acting.as(actor, async (client) => {
      if ((await acting.refusal(client, `select from "${table}" where ${where} limit 0`)) === REFUSED) return null;
      const { rows } = await client.query<{ n: number }>(
        `select count(*)::integer as n from "${table}" where ${where}`,
      );
      return rows[0]?.n ?? null;
    });
  };

  it('stands on every table, forced, and every table is filled', async () => {
    expect(tables.length).toBeGreaterThan(30);
    for (const table of tables) {
      const { rows } = await admin.as(null, (client) =>
        client.query<{ on: boolean; forced: boolean }>(
          `select relrowsecurity as on, relforcerowsecurity as forced from pg_class where oid = $1::regclass`,
          [table],
        ),
      );
      expect({ table, ...rows[0] }).toEqual({ table, on: true, forced: true });
      const filled = await admin.as(null, (client) => client.query(`select from "${table}" limit 1`));
      // A session is opened by signing in only; its own tests do that.
      if (table !== 'session') expect({ table, rows: filled.rowCount }).toEqual({ table, rows: 1 });
    }
  });

  it('shows nothing and takes nothing without a context', async () => {
    for (const table of tables) {
      expect({ table, seen: (await visible(null, table)) ?? 0 }).toEqual({ table, seen: 0 });
    }
    await attemptInserts(null, here.site.siteId);
  });

  it('shows nothing of another site to anybody, whatever they ask for', async () => {
    for (const [role, actor] of Object.entries(everybodyAt(here))) {
      for (const table of tables.filter((name) => name !== 'account_login')) {
        const seen = await visible(actor, table, `site_id = '${there.site.siteId}'`);
        expect({ role, table, seen: seen ?? 0 }).toEqual({ role, table, seen: 0 });
      }
    }
  });

  it('takes nothing for another site from anybody', async () => {
    for (const actor of Object.values(everybodyAt(here))) await attemptInserts(actor, there.site.siteId);
  });

  /** Puts a real row of the given site back in, column by column as far as the role may write. */
  async function attemptInserts(actor: Actor | null, siteId: string): Promise<void> {
    const acting = connectionOf(actor);
    for (const table of tables) {
      const row = await admin.as(null, async (client) => {
        const { rows } = await client.query<{ row: object }>(
          `select to_jsonb(t) as row from "${table}" t where site_id = $1 limit 1`,
          [siteId],
        );
        return rows[0]?.row ?? null;
      });
      if (row === null) continue;
      const refusal = await acting.as(actor, async (client) => {
        const { rows } = await client.query<{ name: string; may: boolean }>(
          `select attname as name, has_column_privilege($1::regclass, attnum, 'insert') as may
           from pg_attribute where attrelid = $1::regclass and attnum > 0 and not attisdropped`,
          [table],
        );
        const columns = rows.filter(({ may }) => may).map(({ name }) => `"${name}"`);
        if (columns.length === 0) return REFUSED;
        return acting.refusal(
          client,
          `insert into "${table}" (${columns.join(', ')})
           select ${columns.join(', ')} from jsonb_populate_record(null::"${table}", $1)`,
          [row],
        );
      });
      expect({ role: actor?.role ?? 'nobody', table, refusal }).toEqual({
        role: actor?.role ?? 'nobody',
        table,
        refusal: REFUSED,
      });
    }
  }

  it.each(Object.keys(SEES))('shows the %s exactly what that role is for', async (role) => {
    const actor = everybodyAt(here)[role];
    if (!actor) throw new Error(`Nobody is ${role}.`);
    const seen: string[] = [];
    for (const table of tables) if (((await visible(actor, table)) ?? 0) > 0) seen.push(table);
    expect(seen.sort()).toEqual([...(SEES[role] ?? [])].sort());
  });

  it('shows a wearer nobody else’s person, case or words', async () => {
    const { wearer } = here;
    for (const table of ['person', ...IDENTITY, ...CLINICAL, 'duty_status', 'ledger_entry']) {
      const hasPerson = await admin.as(null, (client) =>
        client.query(`select from pg_attribute where attrelid = $1::regclass and attname = 'person_id'`, [table]),
      );
      if (hasPerson.rowCount === 0) continue;
      const others = await visible(wearer.actor, table, `person_id is distinct from '${wearer.personId}'`);
      expect({ table, others: others ?? 0 }).toEqual({ table, others: 0 });
    }
    const own = await visible(wearer.actor, 'incident');
    expect(own).toBe(1);
    expect(await visible(wearer.actor, 'incident_breach', `incident_id <> '${here.report.incident.incidentId}'`)).toBe(
      0,
    );
  });

  it('grants a manager no clinical table at all, and of the team only the own one', async () => {
    for (const table of CLINICAL)
      expect({ table, seen: await visible(here.manager, table) }).toEqual({ table, seen: null });
    for (const table of [
      'person',
      'person_identity',
      'account',
      'ledger_entry',
      'event',
      'report_receipt',
      'ppe_use',
    ]) {
      expect({ table, seen: await visible(here.manager, table) }).toEqual({ table, seen: null });
    }
    expect(await visible(here.manager, 'duty_status', `unit_id <> '${here.ward}'`)).toBe(0);
    expect(await visible(here.manager, 'person_name')).toBe(2);
    expect(await visible({ ...here.manager, unitIds: [here.other] }, 'person_name')).toBe(3);
    expect(await visible({ ...here.manager, unitIds: [] }, 'duty_status')).toBe(0);
    expect(await visible({ ...here.manager, unitIds: [there.ward] }, 'person_name')).toBe(0);
  });

  it('keeps a manager’s transaction in the manager’s role until its end, and not after', async () => {
    const roles = await persistence.unitOfWork.run(here.manager, async (tx) => {
      expect((await tx.dutyStatuses.list()).map(({ unitId }) => unitId)).toEqual([here.ward]);
      expect([...(await tx.dutyStatuses.names([here.wearer.personId, here.nurse.personId])).values()]).toEqual([
        here.wearer.name,
      ]);
      return (tx.people.find(here.wearer.personId) as Promise<unknown>).catch((error: Error) => error.message);
    });
    expect(roles).toBe('permission denied for table person');
    expect(
      await persistence.unitOfWork.run(here.nurse.actor, (tx) => tx.people.find(here.wearer.personId)),
    ).not.toBeNull();
  });

  it('gives infection control no identity and no words, and counts of duty statuses only', async () => {
    for (const table of IDENTITY) {
      expect({ table, seen: (await visible(here.infectionControl, table)) ?? 0 }).toEqual({ table, seen: 0 });
    }
    const read = await persistence.unitOfWork.run(here.infectionControl, async (tx) => ({
      list: await tx.dutyStatuses.list(),
      counts: await tx.dutyStatuses.counts(),
      identities: await tx.people.identities([here.wearer.personId]),
      tellings: await tx.incidents.tellings(here.report.incident.incidentId),
    }));
    expect(read.list).toEqual([]);
    expect(read.counts).toEqual([{ work: 'not-rostered-until-decided', people: 2 }]);
    expect(read.identities.size).toBe(0);
    expect(read.tellings).toMatchObject([{ account: null, buddy: null }]);
  });

  it('lets nobody decide, answer, release or sign in the own case or in another’s name', async () => {
    const own: Actor = { ...here.nurse.actor, personId: here.wearer.personId };
    const attempts: [string, Actor, (client: pg.Client) => Promise<string | null>][] = [
      [
        'determination',
        own,
        (client) =>
          app.refusal(
            client,
            `insert into determination (site_id, determination_id, incident_id, person_id, on_revision, assessment_id,
               category_id, category, departs, signed_by, signed_at)
             select site_id, gen_random_uuid(), incident_id, person_id, 2, assessment_id, 'low', 'Low', false, $1, now()
             from assessment where person_id = $2`,
            [own.accountId, here.wearer.personId],
          ),
      ],
      [
        'answer',
        own,
        (client) =>
          app.refusal(client, `update alert set acknowledged_by = $1 where person_id = $2`, [
            own.accountId,
            own.personId,
          ]),
      ],
      [
        'release',
        own,
        (client) => app.refusal(client, `update plan set state = 'released' where person_id = $1`, [own.personId]),
      ],
      [
        'signature of somebody else',
        here.nurse.actor,
        (client) =>
          app.refusal(
            client,
            `insert into determination (site_id, determination_id, incident_id, person_id, on_revision, assessment_id,
               category_id, category, departs, signed_by, signed_at)
             select site_id, gen_random_uuid(), incident_id, person_id, 2, assessment_id, 'low', 'Low', false, $1, now()
             from assessment where person_id = $2`,
            [here.secondNurse.actor.accountId, here.wearer.personId],
          ),
      ],
      [
        'release by the wearer',
        here.wearer.actor,
        (client) =>
          app.refusal(client, `update incident set state = 'released' where person_id = $1`, [here.wearer.personId]),
      ],
      [
        'easing a duty status',
        here.administrator,
        (client) =>
          app.refusal(client, `select tighten_duty_status($1, $2, $3, 'all', null)`, [
            here.wearer.personId,
            here.wearer.rosterRef,
            here.ward,
          ]),
      ],
    ];
    for (const [what, actor, attempt] of attempts) {
      expect({ what, refusal: await app.as(actor, attempt) }).toEqual({ what, refusal: REFUSED });
    }
  });

  it('changes no row of another site when a statement forgets to name the site', async () => {
    for (const [statement, table] of [
      [`update incident set state = state`, 'incident'],
      [`update plan set state = state`, 'plan'],
      [`update plan_check set state = state`, 'plan_check'],
      [`delete from incident_breach`, 'incident_breach'],
      [`delete from duty_status`, 'duty_status'],
    ] as const) {
      const touched = await app.as(here.nurse.actor, async (client) => (await client.query(statement)).rowCount);
      const present = await admin.as(null, async (client) => {
        const { rows } = await client.query<{ n: number }>(
          `select count(*)::integer as n from ${table} where site_id = $1`,
          [here.site.siteId],
        );
        return rows[0]?.n;
      });
      expect({ statement, touched }).toEqual({ statement, touched: present });
    }
  });

  describe('when every store forgets its filter by site', () => {
    /** Everything that a nurse reads. */
    const readAll = async (tx: Transaction): Promise<unknown> => ({
      site: await tx.site.read(),
      units: await tx.site.units(),
      confirmations: await tx.site.confirmations(),
      accounts: await tx.site.accounts(),
      people: await tx.people.list(),
      person: await tx.people.find(here.wearer.personId),
      identities: [...(await tx.people.identities([here.wearer.personId, there.wearer.personId]))],
      incidents: await tx.incidents.list({ limit: 100 }),
      foreign: await tx.incidents.find(there.report.incident.incidentId),
      foreignReport: await tx.incidents.findByReportId(there.report.incident.reportId),
      tellings: await tx.incidents.tellings(here.report.incident.incidentId),
      foreignTellings: await tx.incidents.tellings(there.report.incident.incidentId),
      assessments: await tx.incidents.assessments(there.report.incident.incidentId),
      determinations: await tx.incidents.determinations(there.report.incident.incidentId),
      standings: [
        ...(await tx.incidents.standings([here.report.incident.incidentId, there.report.incident.incidentId])),
      ],
      plans: await tx.plans.running(),
      foreignPlan: await tx.plans.find(there.report.plan?.planId ?? ''),
      byPerson: await tx.plans.listByPerson(there.wearer.personId),
      readings: await tx.plans.readings(there.report.plan?.planId ?? ''),
      checks: await tx.plans.checks(there.report.plan?.planId ?? ''),
      alerts: await tx.alerts.list({}),
      alert: await tx.alerts.find(there.alertId),
      duty: await tx.dutyStatuses.list(),
      names: [...(await tx.dutyStatuses.names([there.wearer.personId]))],
      counts: await tx.dutyStatuses.counts(),
      sources: await tx.sources.list(),
      letters: await tx.letters.listByIncident(there.report.incident.incidentId),
      pdf: await tx.letters.signedPdf(there.letterId),
      insight: await tx.insight.count('2026-01-01', '2026-12-31'),
    });

    /** A connection whose statements have lost every comparison of a site. */
    const forgetful = async (url: string): Promise<{ source: DataSource; forgotten: () => number }> => {
      let forgotten = 0;
      const source = await createDataSource({ url, poolSize: 2 }).initialize();
      const create = source.createQueryRunner.bind(source);
      source.createQueryRunner = (mode): QueryRunner => {
        const runner = create(mode);
        const query = runner.query.bind(runner);
        runner.query = ((text: string, ...rest: []) => {
          const mutated = text.replaceAll(/(?:"?\w+"?\.)?"?site_id"? = (\$\d+)/g, (_, parameter: string) => {
            forgotten += 1;
            return `(${parameter}::text is not null)`;
          });
          return query(mutated, ...rest);
        }) as QueryRunner['query'];
        return runner;
      };
      return { source, forgotten: () => forgotten };
    };

    it('the database still shows the own site and nothing else', async () => {
      const wanted = await persistence.unitOfWork.run(here.nurse.actor, readAll);
      const { source, forgotten } = await forgetful(database.appUrl);
      const mutated = persistenceOver(source, { masterKey: database.masterKey });
      const read = await mutated.unitOfWork.run(here.nurse.actor, readAll);
      await mutated.close();
      await source.destroy();
      expect(forgotten()).toBeGreaterThan(25);
      expect(read).toEqual(wanted);
    });

    it('and without row security it would have shown more: the test can fail', async () => {
      const { source } = await forgetful(database.adminUrl);
      const mutated = persistenceOver(source, { masterKey: database.masterKey });
      const { incidents, people } = await mutated.unitOfWork.run(here.nurse.actor, async (tx) => ({
        incidents: await tx.incidents.list({ limit: 100 }),
        people: await tx.people.list(),
      }));
      await mutated.close();
      await source.destroy();
      expect(incidents.items.length).toBe(4);
      expect(people.length).toBe(10);
    });
  });

  it('leaks nothing between requests that share two connections', async () => {
    const shared = await createPersistence({ url: database.appUrl, masterKey: database.masterKey, poolSize: 2 });
    const actors = [here, there].flatMap((site) =>
      Object.values(everybodyAt(site)).filter(({ role }) => role !== 'worker'),
    );
    const seen = { right: 0, wrong: 0 };
    let turn = 0;
    const request = async (): Promise<void> => {
      for (let mine = turn++; mine < 1_500; mine = turn++) {
        const actor = actors[(mine * 7) % actors.length];
        if (!actor) throw new Error('There is always an actor.');
        const fails = mine % 11 === 0;
        await shared.unitOfWork
          .run(actor, async (tx) => {
            const { siteId } = await tx.site.read();
            const units = await tx.site.units();
            const ours = actor.siteId === here.site.siteId ? here : there;
            const holds =
              siteId === actor.siteId && units.every(({ unitId }) => [ours.ward, ours.other].includes(unitId));
            seen[holds ? 'right' : 'wrong'] += 1;
            // A request that ends badly must leave its connection as clean as one that ends well.
            if (fails) throw new Error('on purpose');
          })
          .catch((error: Error) => {
            if (error.message !== 'on purpose') throw error;
          });
      }
    };
    await Promise.all(Array.from({ length: 16 }, request));
    await shared.close();
    expect(seen).toEqual({ right: 1_500, wrong: 0 });
  });
}
