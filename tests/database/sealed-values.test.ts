import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { createPersistence, type Persistence } from '#persistence';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { enterFullSite, everybody, type FullSite } from '../support/builders/full-site.js';

let database: TestDatabase;
let persistence: Persistence;
let admin: pg.Client;
let site: FullSite;

beforeAll(async () => {
  database = await createTestDatabase();
  persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterFullSite(persistence.unitOfWork);
  admin = new pg.Client({ connectionString: database.adminUrl });
  await admin.connect();
  // Past the triggers that keep these rows as they are: a thief with the server's files would be past them too.
  await admin.query('set session_replication_role = replica');
});

afterAll(async () => {
  await admin.end();
  await persistence.close();
  await database.drop();
});

const asNurse = <T>(
  ...[work]: Parameters<typeof persistence.unitOfWork.run<T>> extends [unknown, infer W] ? [W] : never
) => persistence.unitOfWork.run<T>(site.nurse.actor, work);

describe('what identifies somebody, and what somebody wrote', () => {
  it('stands nowhere in the database in the clear', async () => {
    const secrets = [
      'canary',
      ...everybody(site).flatMap(({ name, staffNumber }) => [name, staffNumber]),
      '1980-02-29',
      '960123',
    ];
    const { rows: tables } = await admin.query<{ name: string }>(
      `select format('%I.%I', n.nspname, c.relname) as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
       where n.nspname in ('public', 'pgboss') and c.relkind = 'r'`,
    );
    let read = 0;
    for (const { name } of tables) {
      const { rows } = await admin.query<{ row: string }>(`select t::text as row from ${name} t`);
      read += rows.length;
      for (const { row } of rows) {
        // Logins are chosen to sign in with, and the builder makes them from staff numbers.
        const text = name.startsWith('public.account') ? row.replaceAll(/S[0-9A-F]{6}-/gi, '') : row;
        for (const secret of secrets) {
          const hidden = Buffer.from(secret).toString('hex');
          expect({ name, found: text.toLowerCase().includes(secret.toLowerCase()) }).toEqual({ name, found: false });
          expect({ name, found: text.includes(hidden) }).toEqual({ name, found: false });
        }
      }
    }
    expect(read).toBeGreaterThan(100);
  });

  it('does not open in another row, even of the same person and table', async () => {
    const { incidentId } = site.report.incident;
    await asNurse(async (tx) => {
      const incident = await tx.incidents.find(incidentId);
      if (!incident) throw new Error('It was entered above.');
      await tx.incidents.appendTelling(
        { ...incident, revision: 3 },
        {
          ...site.report.telling,
          revision: 3,
          kind: 'amendment',
          account: 'canary of another day',
          byAccount: site.nurse.actor.accountId,
        },
      );
    });
    const before = await asNurse((tx) => tx.incidents.tellings(incidentId));
    await swap('telling_text', 'revision', '1', '3');
    await expect(asNurse((tx) => tx.incidents.tellings(incidentId))).rejects.toThrow('does not open');
    await swap('telling_text', 'revision', '1', '3');
    expect(await asNurse((tx) => tx.incidents.tellings(incidentId))).toEqual(before);
  });

  it('does not open with the key of another person', async () => {
    const [one, two] = [site.wearer.personId, site.buddy.personId];
    await swap('person_key', 'person_id', one, two, 'wrapped');
    await expect(asNurse((tx) => tx.people.identities([one]))).rejects.toThrow('does not open');
    await swap('person_key', 'person_id', one, two, 'wrapped');
    await swap('person_identity', 'person_id', one, two);
    await expect(asNurse((tx) => tx.people.identities([one]))).rejects.toThrow('does not open');
    await swap('person_identity', 'person_id', one, two);
    expect((await asNurse((tx) => tx.people.identities([one]))).get(one)?.name).toBe(site.wearer.name);
  });

  it('does not open under another master key', async () => {
    const thief = await createPersistence({ url: database.appUrl, masterKey: 'ab'.repeat(32) });
    await expect(
      thief.unitOfWork.run(site.nurse.actor, (tx) => tx.people.identities([site.wearer.personId])),
    ).rejects.toThrow('does not open');
    await thief.close();
  });

  it('is gone for good with the person’s key, and everything coded stays', async () => {
    const { personId } = site.neighbour;
    await admin.query('delete from person_key where person_id = $1', [personId]);
    const read = await asNurse(async (tx) => ({
      identities: await tx.people.identities([personId]),
      names: await tx.dutyStatuses.names([personId]),
      tellings: await tx.incidents.tellings(site.typed.incident.incidentId),
      incident: await tx.incidents.find(site.typed.incident.incidentId),
    }));
    expect(read.identities.size).toBe(0);
    expect(read.names.size).toBe(0);
    expect(read.tellings).toEqual([{ ...site.typed.telling, account: null, buddy: null }]);
    expect(read.incident).toEqual(site.typed.incident);
  });
});

/** Exchanges a sealed column of two rows. */
async function swap(table: string, by: string, one: string, two: string, column = 'sealed'): Promise<void> {
  const { rowCount } = await admin.query(
    `update ${table} t set ${column} = other.${column} from ${table} other
     where t.site_id = other.site_id and t.${by}::text in ($1, $2) and other.${by}::text in ($1, $2)
       and t.${by} <> other.${by} and t.site_id = $3
       and (to_jsonb(t) -> 'incident_id') is not distinct from (to_jsonb(other) -> 'incident_id')`,
    [one, two, site.site.siteId],
  );
  expect(rowCount).toBe(2);
}
