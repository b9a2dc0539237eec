import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { createPersistence } from '#persistence';
import { Acting } from '../support/acting.js';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { enterFullSite, type FullSite } from '../support/builders/full-site.js';

/** What is told, decided, signed or recorded stays as it was. */
const NEVER_CHANGED = [
  ...['ledger_entry', 'report_receipt', 'telling', 'telling_text', 'assessment', 'determination'],
  ...['determination_text', 'source_status', 'plan_release', 'reading', 'alert_text', 'letter_pdf'],
];

let database: TestDatabase;
let site: FullSite;
let app: Acting;
let owner: Acting;
let admin: Acting;

beforeAll(async () => {
  database = await createTestDatabase();
  const persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterFullSite(persistence.unitOfWork);
  await persistence.unitOfWork.run(site.nurse.actor, (tx) =>
    tx.ledger.append({ action: 'test', subjectKind: 'site', subjectId: 'x', personId: null, detail: {} }),
  );
  await persistence.close();
  app = await Acting.on(database.appUrl);
  owner = await Acting.on(database.ownerUrl);
  admin = await Acting.on(database.adminUrl);
});

afterAll(async () => {
  await Promise.all([app.end(), owner.end(), admin.end()]);
  await database.drop();
});

describe.each(NEVER_CHANGED)('a row of %s', (table) => {
  it('is changed, removed or emptied by no role of the service', async () => {
    for (const statement of [`update ${table} set site_id = site_id`, `delete from ${table}`, `truncate ${table}`]) {
      const refusal = await app.as(site.nurse.actor, (client) => app.refusal(client, statement));
      expect({ statement, refusal }).toEqual({ statement, refusal: '42501' });
    }
  });

  it('is changed, removed or emptied by nobody else either: a trigger stands behind the grants', async () => {
    for (const statement of [
      `update ${table} set site_id = site_id`,
      `delete from ${table}`,
      `truncate ${table} cascade`,
    ]) {
      const refusal = await admin.as(null, (client) => admin.refusal(client, statement));
      expect({ statement, refusal }).toEqual({ statement, refusal: 'IG001' });
    }
    const emptied = await owner.as(null, (client) => owner.refusal(client, `truncate ${table} cascade`));
    expect(emptied).toBe('IG001');
  });
});

describe('the ledger', () => {
  it('takes its stamps from nobody', async () => {
    for (const column of ['recorded_at', 'xact', 'actor_account', 'actor_role', 'entry_id']) {
      const refusal = await app.as(site.nurse.actor, (client) =>
        app.refusal(
          client,
          `insert into ledger_entry (site_id, action, subject_kind, subject_id, detail, ${column})
           overriding system value values ($1, 'forged', 'site', 'x', '{}', default)`,
          [site.site.siteId],
        ),
      );
      expect({ column, refusal }).toEqual({ column, refusal: '42501' });
    }
  });

  it('takes no line without an actor', async () => {
    const refusal = await app.as({ ...site.nurse.actor, role: '' as never }, (client) =>
      app.refusal(
        client,
        `insert into ledger_entry (site_id, action, subject_kind, subject_id, detail) values ($1, 'x', 'site', 'x', '{}')`,
        [site.site.siteId],
      ),
    );
    expect(refusal).toBe('23502');
  });
});

describe('a letter', () => {
  it('is changed by nobody once it is signed', async () => {
    for (const statement of [
      `update letter set content_hash = 'x'`,
      `update letter set signed_at = null`,
      'delete from letter',
    ]) {
      expect(await admin.as(null, (client) => admin.refusal(client, statement))).toBe('IG001');
    }
  });
});
