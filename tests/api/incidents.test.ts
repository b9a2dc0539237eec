import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { aMinimalReport, anExposure, aReport } from './support/reports.js';
import { PEOPLE, startSiteInUse, type Client, type SiteInUse } from './support/site-in-use.js';

interface Reported {
  readonly incidentId: string;
  readonly eventId: string;
  readonly revision: number;
  readonly advice: {
    readonly emergency: { readonly telephone: string };
    readonly telephones: readonly { readonly telephone: string }[];
    readonly firstAid: readonly unknown[];
    readonly removal: { readonly steps: readonly { readonly id: string; readonly breached: boolean }[] };
  };
  readonly assessment: { readonly settled: boolean; readonly category: string; readonly openQuestions: unknown[] };
  readonly barrier: { readonly routes: Readonly<Record<string, string>> };
  readonly plan: { readonly planId: string; readonly checks: readonly { readonly kind: string }[] } | null;
}

describe('incidents', () => {
  let site: SiteInUse;
  let wearer: Client;
  let nurse: Client;

  beforeAll(async () => {
    site = await startSiteInUse();
    wearer = site.as('wearer');
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  const report = async (told: Record<string, unknown>, client = wearer) =>
    (await client.create('/incidents', told).expect(201)).body as Reported;

  describe('reported', () => {
    it('are answered with first aid, removal, assessment, barrier and plan at once', async () => {
      const response = await wearer.create('/incidents', anExposure()).expect(201);
      const { advice, assessment, barrier, plan, revision } = response.body as Reported;

      expect(response.headers['etag']).toBe('"1"');
      expect(revision).toBe(1);
      expect(advice.emergency.telephone).toBe('2222');
      expect(advice.telephones.map(({ telephone }) => telephone)).toEqual(['3141', '3142']);
      expect(advice.firstAid.length).toBeGreaterThan(0);
      expect(advice.removal.steps[0]).toMatchObject({ id: 'take-off-outer-gloves', breached: true });
      expect(assessment.category).not.toBe('');
      expect(barrier.routes['intactSkin']).toBe('yes');
      expect(plan?.checks.filter(({ kind }) => kind === 'reading').length).toBeGreaterThan(40);
    });

    it('never name the category in the advice', async () => {
      const { advice, assessment } = await report(anExposure());

      expect(JSON.stringify(advice)).not.toContain(assessment.category);
    });

    it('take what is left out as unknown, never as "no"', async () => {
      const { assessment, barrier, plan } = await report(aMinimalReport());

      expect(assessment.settled).toBe(false);
      expect(assessment.openQuestions.length).toBeGreaterThan(0);
      expect(Object.values(barrier.routes)).toContain('unknown');
      expect(plan).not.toBeNull();
    });

    it('have no plan when they were caught before any exposure', async () => {
      const { plan } = await report(
        aReport({ kind: 'near-miss', breaches: [], lapses: ['order-changed'], fluid: 'none' }),
      );

      expect(plan).toBeNull();
    });

    it('give the buddy the advice alone', async () => {
      const told = anExposure({ wearer: { staffNumber: PEOPLE.wearer.staffNumber } });
      const body = await report(told, site.as('colleague'));

      expect(body).toMatchObject({ assessment: null, barrier: null, plan: null, governing: null });
      expect(body.advice.firstAid.length).toBeGreaterThan(0);
      expect(JSON.stringify(body)).not.toContain(PEOPLE.wearer.name);
      await site.as('colleague').get(`/incidents/${body.incidentId}`).expect(404);
      await wearer.get(`/incidents/${body.incidentId}`).expect(200);
    });

    it('group the incidents of one event', async () => {
      const first = await report(anExposure());
      const second = await report(anExposure({ eventId: first.eventId }), site.as('colleague'));

      expect(second.eventId).toBe(first.eventId);
      expect(second.incidentId).not.toBe(first.incidentId);
    });

    it('hold the wearer from the roster until somebody has decided', async () => {
      await report(anExposure(), site.as('colleague'));
      const { lines } = (await site.as('manager').get('/duty-statuses').expect(200)).body as {
        lines: { name: string; work: string; daysRemaining: number | null }[];
      };

      expect(lines.find(({ name }) => name === PEOPLE.colleague.name)).toMatchObject({
        work: 'not-rostered-until-decided',
        daysRemaining: null,
      });
    });

    it.each(['manager', 'infectionControl', 'administrator'] as const)('are not taken from: %s', async (part) => {
      const { body } = await site.as(part).create('/incidents', aReport()).expect(403);

      expect(body).toMatchObject({ type: '/problems/forbidden' });
    });
  });

  describe('read', () => {
    let incidentId: string;

    beforeAll(async () => {
      ({ incidentId } = await report(anExposure({ account: 'The sleeve caught on the bed rail.', buddy: 'T. Lind' })));
    });

    it('show the wearer and the nurse everything', async () => {
      for (const client of [wearer, nurse]) {
        const response = await client.get(`/incidents/${incidentId}`).expect(200);

        expect(response.headers['etag']).toBe('"1"');
        expect(response.body).toMatchObject({
          incident: { incidentId, state: 'open', wearer: { name: PEOPLE.wearer.name, staffNumber: 'S-1001' } },
          tellings: [{ account: 'The sleeve caught on the bed rail.', buddy: 'T. Lind' }],
          assessments: [{ revision: 1 }],
          determinations: [],
          plan: { state: 'running', basis: 'interim' },
        });
      }
    });

    it('show infection control neither identity nor free text', async () => {
      const response = await site.as('infectionControl').get(`/incidents/${incidentId}`).expect(200);

      expect(response.body).toMatchObject({
        incident: { wearer: { name: null, staffNumber: null, telephone: null, personId: null } },
        tellings: [{ account: null, buddy: null }],
      });
      for (const secret of [PEOPLE.wearer.name, 'S-1001', 'bed rail', 'T. Lind', site.personIds.wearer]) {
        expect(response.text).not.toContain(secret);
      }
    });

    it('answer a colleague as if there were none', async () => {
      const foreign = await site.as('colleague').get(`/incidents/${incidentId}`).expect(404);
      const absent = await site.as('colleague').get(`/incidents/${crypto.randomUUID()}`).expect(404);

      const { instance: _, ...one } = foreign.body as { instance: string };
      const { instance: __, ...other } = absent.body as { instance: string };
      expect(one).toEqual(other);
    });

    it.each(['manager', 'administrator'] as const)('are closed to: %s', async (part) => {
      await site.as(part).get(`/incidents/${incidentId}`).expect(403);
      await site.as(part).get('/incidents').expect(403);
      await site.as(part).get(`/assessments?incidentId=${incidentId}`).expect(403);
    });

    it('list their assessments', async () => {
      const { body } = await nurse.get(`/assessments?incidentId=${incidentId}`).expect(200);

      expect(body).toMatchObject({
        items: [{ incidentId, revision: 1, result: { hash: expect.stringMatching(/^[0-9a-f]{64}$/) } }],
      });
    });
  });

  describe('listed', () => {
    const all = async (client: Client, query = '') => {
      const items: { incidentId: string; state: string; wearer: { name: string | null } }[] = [];
      let cursor: string | null = null;
      do {
        const at: string = cursor === null ? '' : `&cursor=${encodeURIComponent(cursor)}`;
        const { body } = await client.get(`/incidents?limit=2${query}${at}`).expect(200);
        const page = body as { items: typeof items; nextCursor: string | null };
        expect(page.items.length).toBeLessThanOrEqual(2);
        items.push(...page.items);
        cursor = page.nextCursor;
      } while (cursor !== null);
      return items;
    };

    it('come page by page, each once', async () => {
      const ids = (await all(nurse)).map(({ incidentId }) => incidentId);
      const whole = (await nurse.get('/incidents?limit=200').expect(200)).body as { items: { incidentId: string }[] };

      expect(ids.length).toBeGreaterThan(5);
      expect(new Set(ids).size).toBe(ids.length);
      expect([...ids].sort()).toEqual(whole.items.map(({ incidentId }) => incidentId).sort());
    });

    it('are only the own ones for a wearer', async () => {
      const names = (await all(wearer)).map(({ wearer: { name } }) => name);

      expect(new Set(names)).toEqual(new Set([PEOPLE.wearer.name]));
    });

    it('can be asked for by state', async () => {
      expect(await all(nurse, '&state=released')).toEqual([]);
      expect((await all(nurse, '&state=open')).length).toBeGreaterThan(0);
    });

    it.each([
      ['limit=0', 'limit'],
      ['limit=201', 'limit'],
      ['limit=many', 'limit'],
      ['state=lost', 'state'],
      ['colour=green', 'colour'],
    ])('refuse %s by its parameter', async (query, parameter) => {
      const { body } = await nurse.get(`/incidents?${query}`).expect(400);

      expect(body).toMatchObject({ errors: [{ parameter, accepted: expect.any(String) }] });
    });

    it('refuse a cursor that nobody gave out', async () => {
      const { status } = await nurse.get('/incidents?cursor=nonsense');

      expect([400, 422]).toContain(status);
    });
  });

  describe('amended', () => {
    it('keep what was told before and add to it', async () => {
      const { incidentId } = await report(aReport());
      const amended = await wearer
        .post(
          `/incidents/${incidentId}/amendments`,
          { changes: { seen: { skinWet: 'yes', zones: ['hands'] }, foundWhole: [] }, account: 'My hand was red.' },
          { 'if-match': '"1"' },
        )
        .expect(200);

      expect(amended.headers['etag']).toBe('"2"');
      expect(amended.body).toMatchObject({ incidentId, revision: 2, tightenedAtOnce: expect.any(Boolean) });
      const { body } = await nurse.get(`/incidents/${incidentId}`).expect(200);
      expect(body).toMatchObject({
        incident: { revision: 2, content: { seen: { skinWet: 'yes' } } },
        tellings: [
          { kind: 'report', revision: 1, content: { seen: { skinWet: 'unknown' } } },
          { kind: 'amendment', revision: 2, account: 'My hand was red.' },
        ],
        assessments: [{ revision: 1 }, { revision: 2 }],
      });
    });

    it('are refused on another version than the one that was read', async () => {
      const { incidentId } = await report(aReport());
      const amend = (headers: Record<string, string>) =>
        wearer.post(`/incidents/${incidentId}/amendments`, { changes: { fluid: 'vomit' } }, headers);
      await amend({ 'if-match': '"1"' }).expect(200);

      expect((await amend({ 'if-match': '"1"' }).expect(412)).body).toMatchObject({ type: '/problems/stale-version' });
      await amend({}).expect(428);
      await amend({ 'if-match': '3' }).expect(400);
    });

    it('are the wearer’s and the nurse’s alone', async () => {
      const { incidentId } = await report(aReport());
      const amend = (client: Client) =>
        client.post(`/incidents/${incidentId}/amendments`, { changes: { fluid: 'vomit' } }, { 'if-match': '"1"' });

      await amend(site.as('colleague')).expect(404);
      await amend(site.as('manager')).expect(403);
      await amend(nurse).expect(200);
    });

    it('judge changes as strictly as reports', async () => {
      const { incidentId } = await report(aReport());
      const { body } = await wearer
        .post(
          `/incidents/${incidentId}/amendments`,
          { changes: { breaches: [{ layer: 'cape' }] } },
          { 'if-match': '"1"' },
        )
        .expect(422);

      expect(body).toMatchObject({ errors: [{ pointer: '/changes/breaches/0/layer' }] });
    });
  });
});
