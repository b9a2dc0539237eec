import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { assess } from '#domain';
import { PasswordHasher } from '#application';
import { PdfLetterWriter } from '#letters';
import { createPersistence } from '#persistence';
import { loadRulebook } from '#rulebook';
import { seedDemo, type SeededDemo } from '../../apps/cli/demo/seed-demo.js';
import { createTestDatabase, type TestDatabase } from '../support/database.js';

const rulebook = loadRulebook();
const seed = 'a-seed';

/** Quick, since what a password hash is worth is tested where it is made. */
class PlainHasher extends PasswordHasher {
  override hash(password: string): Promise<string> {
    return Promise.resolve(`plain:${password}`);
  }
  override matches(hash: string, password: string): Promise<boolean> {
    return Promise.resolve(hash === `plain:${password}`);
  }
}

class Demo {
  private constructor(
    private readonly database: TestDatabase,
    private readonly client: pg.Client,
    readonly seeded: SeededDemo,
  ) {}

  static async at(now: string): Promise<Demo> {
    const database = await createTestDatabase();
    const persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
    try {
      const seeded = await seedDemo(
        {
          work: persistence.unitOfWork,
          directory: persistence.accountDirectory,
          sites: persistence.siteDirectory,
          hasher: new PlainHasher(),
          rulebook,
          writer: new PdfLetterWriter(),
        },
        { seed, now, password: 'a-long-enough-password' },
      );
      const client = new pg.Client({ connectionString: database.adminUrl });
      await client.connect();
      return new Demo(database, client, seeded);
    } finally {
      await persistence.close();
    }
  }

  async rows<Row extends object>(query: string): Promise<Row[]> {
    return (await this.client.query<Row>(query)).rows;
  }

  async count(query: string): Promise<number> {
    const [row] = await this.rows<{ n: string }>(`select count(*) as n from ${query}`);
    return Number(row?.n);
  }

  async drop(): Promise<void> {
    await this.client.end();
    await this.database.drop();
  }
}

/** Everything but ids, sealed bytes, and the times at which rows were really written. */
const STORY = `
  select p.job, u.name as unit, i.kind, i.stage, i.step, i.state, i.revision, i.reported_at, i.content, s.pseudonym,
    (select json_agg(json_build_array(a.revision, a.facts, a.result, a.profile, a.made_at) order by a.revision)
      from assessment a where a.incident_id = i.incident_id) as assessments,
    (select json_agg(json_build_array(d.on_revision, d.category_id, d.departs, d.signed_at) order by d.on_revision)
      from determination d where d.incident_id = i.incident_id) as determinations,
    (select json_agg(json_build_array(l.state, l.basis, l.day_zero, l.last_day, l.released_at, l.content,
      (select json_agg(json_build_array(c.check_key, c.state, c.done_at) order by c.check_key)
        from plan_check c where c.plan_id = l.plan_id),
      (select json_agg(json_build_array(r.taken_at, r.value, r.unit, r.symptoms, r.judgement) order by r.taken_at)
        from reading r where r.plan_id = l.plan_id)))
      from plan l where l.incident_id = i.incident_id) as plans,
    (select json_agg(json_build_array(a.kind, a.raised_at, a.outcome, a.closed_at) order by a.raised_at, a.kind)
      from alert a where a.incident_id = i.incident_id) as alerts
  from incident i join person p using (site_id, person_id) join unit u on u.unit_id = i.unit_id
    left join source s on s.source_id = i.source_id
  order by i.reported_at, p.job, i.content::text`;

describe('the demo, on an afternoon in autumn', () => {
  const now = '2026-11-25T15:10:00.000Z';
  let demo: Demo;
  let again: Demo;
  beforeAll(async () => {
    [demo, again] = await Promise.all([Demo.at(now), Demo.at(now)]);
  }, 180_000);
  afterAll(() => Promise.all([demo.drop(), again.drop()]));

  it('is the same for the same seed and moment', async () => {
    expect(again.seeded).toEqual({ ...demo.seeded, siteId: again.seeded.siteId });
    expect(await again.rows(STORY)).toEqual(await demo.rows(STORY));
    const uses =
      'select u.name, p.local_date::text, p.uses from ppe_use p join unit u on u.unit_id = p.unit_id order by 1, 2';
    expect(await again.rows(uses)).toEqual(await demo.rows(uses));
  });

  it('has six units, 120 people, one sign-in a role and a second nurse', async () => {
    expect(await demo.count('unit')).toBe(6);
    expect(await demo.count('person')).toBe(120);
    const roles = await demo.rows(
      'select role, count(*)::int as n from account where password_hash is not null group by role order by role',
    );
    expect(roles).toEqual([
      { role: 'administrator', n: 1 },
      { role: 'infection-control', n: 1 },
      { role: 'manager', n: 1 },
      { role: 'nurse', n: 2 },
      { role: 'wearer', n: 1 },
    ]);
  });

  it('reaches back four months and never past its own moment', async () => {
    const [span] = await demo.rows<{ first: string; last: Date }>(
      'select min(local_date)::text as first, (select max(reported_at) from incident) as last from ppe_use',
    );
    expect(span?.first).toBe('2026-07-30');
    expect(span?.last.toISOString() ?? '').toBe('2026-11-25T14:46:00.000Z');
    for (const [table, column] of [
      ['assessment', 'made_at'],
      ['determination', 'signed_at'],
      ['reading', 'entered_at'],
      ['alert', 'raised_at'],
      ['alert', 'closed_at'],
      ['plan', 'released_at'],
      ['plan_check', 'done_at'],
      ['letter', 'signed_at'],
    ] as const)
      expect([table, column, await demo.count(`${table} where ${column} > '${now}'`)]).toEqual([table, column, 0]);
  });

  it('holds assessments that the rulebook makes again', async () => {
    const made = await demo.rows<{ facts: object; result: { table: string; version: string } }>(
      'select facts, result from assessment',
    );
    expect(made.length).toBeGreaterThan(50);
    for (const { facts, result } of made)
      expect(assess(rulebook.table(`${result.table}@${result.version}`), facts as never)).toEqual(result);
  });

  it.each([
    ['an open fever alert', `alert where kind = 'fever' and closed_at is null`],
    ['a call-back that nobody has taken', `alert where kind = 'call-back' and acknowledged_at is null`],
    ['a plan that ends today', `plan where state = 'running' and last_day = '2026-11-25'`],
    [
      'a case whose answers are missing',
      `assessment where result->>'settled' = 'false'
        and incident_id in (select incident_id from incident where state = 'open')`,
    ],
    [
      'a determination below the assessment, by two clinicians',
      `determination where departs and second_clinician is not null and signed_at > '2026-11-23'`,
    ],
    ['a near miss of today', `incident where kind = 'near-miss' and occurred_on = '2026-11-25'`],
    [
      'an event of two people yesterday',
      `(select event_id from incident where occurred_on = '2026-11-24' group by event_id having count(*) = 2) as two`,
    ],
    [
      'a source that was identified two days ago',
      `source_status where on_date = '2026-11-23' and status = 'confirmed'`,
    ],
    ['a signed letter', 'letter where signed_at is not null'],
  ])('has %s', async (_what, query) => {
    expect(await demo.count(query)).toBeGreaterThan(0);
  });

  it('keeps one person’s own case for the wearer who signs in', async () => {
    const own = `plan where state = 'running' and person_id in
      (select person_id from account where role = 'wearer' and password_hash is not null)`;
    expect(await demo.count(own)).toBe(1);
  });

  it('lets nobody sign their own case, and gives near misses no plan', async () => {
    expect(
      await demo.count('determination d join account a on a.account_id = d.signed_by where a.person_id = d.person_id'),
    ).toBe(0);
    expect(await demo.count(`plan join incident i using (site_id, incident_id) where i.kind = 'near-miss'`)).toBe(0);
  });

  it('binds each done reading check to its reading', async () => {
    expect(await demo.count(`plan_check where kind = 'reading' and state = 'done'`)).toBeGreaterThan(500);
    expect(
      await demo.count(
        `plan_check c where kind = 'reading' and state = 'done' and not exists
          (select from reading r where r.reading_id = c.reading_id and r.check_key = c.check_key
            and (r.taken_at at time zone 'Europe/London')::date = c.local_date)`,
      ),
    ).toBe(0);
  });

  it('leaves nothing overdue but readings that were missed', async () => {
    const overdue = await demo.rows(
      `select c.kind, count(*)::int as n from plan_check c join plan p using (site_id, plan_id)
        where p.state = 'running' and p.basis = 'determination' and c.state = 'due' and c.kind <> 'reading'
          and c.due_until < '${now}' group by c.kind`,
    );
    expect(overdue).toEqual([]);
  });
});

describe('the demo, late on the evening before the clocks go forward', () => {
  let demo: Demo;
  beforeAll(async () => {
    demo = await Demo.at('2026-03-28T23:20:00.000Z');
  }, 180_000);
  afterAll(() => demo.drop());

  it('is filled all the same', async () => {
    expect(demo.seeded.cases).toBeGreaterThan(30);
    expect(await demo.count(`alert where kind = 'fever' and closed_at is null`)).toBeGreaterThan(0);
    expect(await demo.count(`reading where entered_at > '2026-03-28T23:20:00.000Z'`)).toBe(0);
  });
});
