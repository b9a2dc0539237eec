import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { aReport, daysFromNow } from './support/reports.js';
import {
  EMERGENCY,
  ISOLATION,
  PASSWORD,
  PEOPLE,
  startSiteInUse,
  type Client,
  type SiteInUse,
} from './support/site-in-use.js';

describe('administration', () => {
  let site: SiteInUse;
  let administrator: Client;
  let nurse: Client;

  beforeAll(async () => {
    site = await startSiteInUse();
    administrator = site.as('administrator');
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  describe('of the site', () => {
    it('shows everybody what the forms need', async () => {
      const parts = ['wearer', 'nurse', 'infectionControl', 'manager', 'administrator'] as const;
      for (const part of parts) {
        const { body } = await site.as(part).get('/sites/mine').expect(200);
        expect(body).toMatchObject({
          siteId: site.siteId,
          name: 'Larkhill General',
          timeZone: 'Europe/Madrid',
          emergency: { telephone: '2222' },
          ensembles: [{ id: 'full-barrier', layers: expect.any(Array), needsLocalConfirmation: true }],
          vocabulary: { version: 'facts/v1' },
        });
        expect((body as { units: { name: string }[] }).units.map(({ name }) => name).sort()).toEqual([
          EMERGENCY,
          ISOLATION,
        ]);
        expect((body as { settings: unknown }).settings === null).toBe(part !== 'administrator');
      }
    });

    it('changes the settings for the administrator alone', async () => {
      const { body } = await administrator
        .patch('/sites/mine', { readingGraceMinutes: 90, onCallClinician: null })
        .expect(200);

      expect(body).toMatchObject({
        settings: { readingGraceMinutes: 90, onCallClinician: null, emergency: { telephone: '2222' } },
        warnings: [expect.stringContaining('on-call')],
      });
      for (const part of ['wearer', 'nurse', 'infectionControl', 'manager'] as const) {
        await site.as(part).patch('/sites/mine', { readingGraceMinutes: 10 }).expect(403);
      }
    });

    it.each([
      [{ readingGraceMinutes: 0 }, 422, '/readingGraceMinutes'],
      [{ readingGraceMinutes: 'an hour' }, 400, '/readingGraceMinutes'],
      [
        { readingBands: { morning: { from: '10:00', until: '06:00' }, evening: { from: '18:00', until: '22:00' } } },
        422,
        '/readingBands/morning/until',
      ],
      [
        { governing: [{ agent: 'ebola', certainty: 'any', table: 'no-such-table', profile: 'ebola/cdc' }] },
        422,
        '/governing/0/table',
      ],
      [{ slug: 'another' }, 400, '/slug'],
    ])('refuses the setting %j by its field', async (told, status, pointer) => {
      const { body } = await administrator.patch('/sites/mine', told).expect(status);

      expect(body).toMatchObject({ errors: [{ pointer, accepted: expect.any(String) }] });
    });

    it('adds a unit once', async () => {
      const { body } = await administrator.post('/sites/mine/units', { name: 'Transport team' }).expect(201);

      expect(body).toMatchObject({ name: 'Transport team', ensembleId: 'full-barrier' });
      await administrator.post('/sites/mine/units', { name: 'Transport team' }).expect(409);
      await administrator.post('/sites/mine/units', { name: 'Other', ensembleId: 'cape' }).expect(422);
      await nurse.post('/sites/mine/units', { name: 'Other' }).expect(403);
    });
  });

  describe('of people', () => {
    const someone = (told: object = {}) => ({
      name: 'Ada Moor',
      staffNumber: 'S-5001',
      unitId: site.unitIds[ISOLATION],
      job: 'Cleaner',
      ...told,
    });

    it('enters a person without an account and one with', async () => {
      const { body } = await administrator.post('/people', someone()).expect(201);
      expect(body).toEqual({ personId: expect.any(String), accountId: null });

      const account = { login: 'ada', password: PASSWORD, role: 'wearer' };
      const second = await administrator.post('/people', someone({ staffNumber: 'S-5002', account })).expect(201);
      expect(second.body).toMatchObject({ accountId: expect.any(String) });
      await site.stranger.post('/session', { login: 'ada', password: PASSWORD }).expect(200);
    });

    it('refuses a staff number or a login that somebody has, and a password that is short', async () => {
      await administrator.post('/people', someone({ staffNumber: 'S-1001' })).expect(409);
      const account = { login: 'nurse', password: PASSWORD, role: 'wearer' };
      await administrator.post('/people', someone({ staffNumber: 'S-5003', account })).expect(409);
      const short = { login: 'short', password: 'short', role: 'wearer' };
      const { body } = await administrator
        .post('/people', someone({ staffNumber: 'S-5004', account: short }))
        .expect(422);
      expect(body).toMatchObject({ errors: [{ pointer: '/account/password' }] });
      expect(JSON.stringify(body)).not.toContain('"short"');
    });

    it('lists accounts to the administrator, without identity or a clinical fact', async () => {
      const response = await administrator.get('/people').expect(200);
      const { people, accounts } = response.body as { people: unknown[]; accounts: { login: string }[] };

      expect(people).toEqual([]);
      expect(accounts.map(({ login }) => login)).toContain('nurse');
      expect(response.text).not.toContain(PEOPLE.wearer.name);
      expect(response.text).not.toContain('argon2');
    });

    it('finds one person by staff number for the nurse, and lists nobody', async () => {
      const found = await nurse.get('/people?staffNumber=S-1001').expect(200);
      expect(found.body).toMatchObject({ people: [{ name: PEOPLE.wearer.name, staffNumber: 'S-1001' }], accounts: [] });
      expect((await nurse.get('/people?staffNumber=S-9').expect(200)).body).toMatchObject({ people: [] });
      const browsing = await nurse.get('/people');
      expect(browsing.status === 200 ? (browsing.body as { people: unknown[] }).people : []).toEqual([]);
    });

    it('is closed to everybody else', async () => {
      for (const part of ['wearer', 'infectionControl', 'manager'] as const) {
        await site.as(part).get('/people').expect(403);
        await site
          .as(part)
          .post('/people', someone({ staffNumber: 'S-5009' }))
          .expect(403);
      }
      await nurse.post('/people', someone({ staffNumber: 'S-5009' })).expect(403);
    });
  });

  describe('of tables', () => {
    it('shows every rule with its source and grade', async () => {
      const { items } = (await nurse.get('/tables').expect(200)).body as {
        items: { id: string; version: string; live: boolean; needsConfirmation: string[] }[];
      };
      expect(items.map(({ id }) => id)).toEqual(expect.arrayContaining(['vhf-cdc-2023', 'unidentified-vhf']));

      const { body } = await site.as('wearer').get('/tables/vhf-cdc-2023').expect(200);
      const { table } = body as { table: { rules: { sources: unknown[]; grade: string }[] } };
      expect(table.rules.length).toBeGreaterThan(0);
      expect(table.rules.every(({ sources, grade }) => sources.length > 0 && grade !== '')).toBe(true);
      await nurse.get(`/tables/vhf-cdc-2023@${items.find(({ id }) => id === 'vhf-cdc-2023')?.version}`).expect(200);
    });

    it('says of an unknown table what there is', async () => {
      const { body } = await nurse.get('/tables/no-such-table').expect(404);

      expect(body).toMatchObject({ type: '/problems/not-found' });
    });

    it('goes live only when a nurse has confirmed every remembered rule', async () => {
      const card = async () =>
        (await nurse.get('/tables/vhf-uk-acdp').expect(200)).body as {
          live: boolean;
          needsConfirmation: string[];
          confirmed: unknown;
        };
      const before = await card();
      expect(before).toMatchObject({ live: false, confirmed: null });
      expect(before.needsConfirmation.length).toBeGreaterThan(0);

      const confirm = (client: Client, rules: readonly string[]) =>
        client.post('/tables/vhf-uk-acdp/confirmations', { rules });
      await confirm(nurse, before.needsConfirmation.slice(1)).expect(422);
      for (const part of ['wearer', 'infectionControl', 'manager', 'administrator'] as const) {
        await confirm(site.as(part), before.needsConfirmation).expect(403);
      }
      await confirm(nurse, before.needsConfirmation).expect(200);
      expect(await card()).toMatchObject({ live: true, confirmed: { at: expect.any(String) } });
    });

    it('is closed to managers and administrators', async () => {
      for (const part of ['manager', 'administrator'] as const) {
        await site.as(part).get('/tables').expect(403);
        await site.as(part).get('/tables/vhf-cdc-2023').expect(403);
      }
    });
  });

  describe('of trends', () => {
    it('counts for the nurse and infection control', async () => {
      await site.as('wearer').create('/incidents', aReport()).expect(201);
      const range = `from=${daysFromNow(-30)}&until=${daysFromNow(1)}`;
      for (const part of ['nurse', 'infectionControl'] as const) {
        const response = await site.as(part).get(`/trends/counts?${range}`).expect(200);
        expect(response.body).toMatchObject({ incidents: 1, events: 1, nearMisses: 0, cautions: expect.any(Array) });
        expect((response.body as { byLayer: unknown[] }).byLayer).toEqual(
          expect.arrayContaining([{ layer: 'outer-gloves', partial: 0, total: 1 }]),
        );
        expect(response.text).not.toContain(PEOPLE.wearer.name);
      }
      for (const part of ['wearer', 'manager', 'administrator'] as const) {
        await site.as(part).get(`/trends/counts?${range}`).expect(403);
      }
    });

    it.each([
      ['from=2026-01-31', 400, 'until'],
      ['from=yesterday&until=2026-01-31', 400, 'from'],
    ])('refuses %s by its parameter', async (query, status, parameter) => {
      const { body } = await nurse.get(`/trends/counts?${query}`).expect(status);

      expect(body).toMatchObject({ errors: [{ parameter }] });
    });

    it('refuses a range that ends before it begins', async () => {
      await nurse.get('/trends/counts?from=2026-02-01&until=2026-01-01').expect(422);
    });
  });

  describe('of health', () => {
    it('says without a session that it lives and is ready, and how durable an acknowledgement is', async () => {
      expect((await site.stranger.get('/health/live').expect(200)).body).toEqual({ status: 'live' });
      const { body } = await site.stranger.get('/health/ready').expect(200);

      expect(body).toMatchObject({ status: 'ready', database: true, warnings: [] });
      expect((body as { durability: Record<string, string> }).durability).toMatchObject({
        fsync: 'on',
        synchronous_commit: 'on',
        full_page_writes: 'on',
      });
    });

    it('serves its contract', async () => {
      const { body } = await site.stranger.get('/api/openapi.json').expect(200);

      expect(body).toMatchObject({ openapi: '3.1.0' });
    });
  });
});
