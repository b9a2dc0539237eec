import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { aReading, anExposure } from './support/reports.js';
import { PASSWORD, PEOPLE, startSiteInUse, type Client, type SiteInUse } from './support/site-in-use.js';

describe('follow-up', () => {
  let site: SiteInUse;
  let wearer: Client;
  let nurse: Client;

  beforeAll(async () => {
    site = await startSiteInUse();
    wearer = site.as('wearer');
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  const exposed = async (client = wearer) =>
    (await client.create('/incidents', anExposure()).expect(201)).body as {
      incidentId: string;
      plan: { planId: string };
    };
  const planOf = async (client = wearer) => (await exposed(client)).plan.planId;
  const openAlerts = async (client = nurse) =>
    (
      (await client.get('/alerts?open=true').expect(200)).body as {
        items: { alertId: string; kind: string; planId: string | null; wearer: { name: string | null } }[];
      }
    ).items;

  describe('by plan', () => {
    it('shows days, checks, restrictions and thresholds with their sources', async () => {
      const planId = await planOf();
      const { body } = await wearer.get(`/plans/${planId}`).expect(200);
      const plan = body as {
        dayZero: string;
        lastDay: string;
        daysRemaining: number;
        checks: { kind: string; source: { body: string } }[];
        thresholds: { value: string; unit: string; sources: unknown[] }[];
      };

      expect(plan).toMatchObject({ planId, state: 'running', timeZone: 'Europe/Madrid' });
      expect(plan.daysRemaining).toBe(Math.round((Date.parse(plan.lastDay) - Date.parse(plan.dayZero)) / 86_400_000));
      expect(plan.checks.every(({ source }) => source.body !== '')).toBe(true);
      expect(plan.thresholds.length).toBeGreaterThan(0);
    });

    it('lists the own plans to a wearer and a person’s, or all, to the nurse', async () => {
      const planId = await planOf(site.as('colleague'));
      const list = async (client: Client, query = '') =>
        ((await client.get(`/plans${query}`).expect(200)).body as { items: { planId: string; personId: string }[] })
          .items;

      const own = await list(site.as('colleague'));
      expect(own.map((plan) => plan.planId)).toContain(planId);
      expect(new Set(own.map(({ personId }) => personId))).toEqual(new Set([site.personIds.colleague]));
      const asked = await list(nurse, `?personId=${site.personIds.colleague}`);
      expect(asked.map((plan) => plan.planId)).toContain(planId);
      expect((await list(nurse)).length).toBeGreaterThan(asked.length);
    });

    it('is closed to everybody else', async () => {
      const planId = await planOf();

      await site.as('colleague').get(`/plans/${planId}`).expect(404);
      for (const part of ['infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).get(`/plans/${planId}`).expect(403);
        await site.as(part).get('/plans').expect(403);
        await site.as(part).get(`/readings?planId=${planId}`).expect(403);
        await site.as(part).create('/readings', aReading(planId)).expect(403);
      }
    });
  });

  describe('by reading', () => {
    it('keeps a reading below the threshold without an alert', async () => {
      const planId = await planOf();
      const { body } = await wearer.create('/readings', aReading(planId)).expect(201);

      expect(body).toMatchObject({
        alertId: null,
        judgement: { alert: null, plausibility: 'plausible' },
        advice: null,
      });
      const { items } = (await wearer.get(`/readings?planId=${planId}`).expect(200)).body as { items: unknown[] };
      expect(items).toMatchObject([{ planId, value: '36.7', unit: 'Cel', symptoms: [] }]);
    });

    it.each([
      ['38.4', 'Cel'],
      ['101.1', '[degF]'],
    ])('raises %s %s to the nurse, with what to do at once', async (value, unit) => {
      const planId = await planOf();
      const { body } = await wearer.create('/readings', aReading(planId, { value, unit })).expect(201);

      expect(body).toMatchObject({
        alertId: expect.any(String),
        judgement: { alert: 'fever' },
        advice: { emergency: { telephone: '2222' }, occupationalHealth: { telephone: '3141' } },
      });
      const { alertId } = body as { alertId: string };
      expect((await openAlerts()).find((alert) => alert.alertId === alertId)).toMatchObject({
        kind: 'fever',
        planId,
        wearer: { name: PEOPLE.wearer.name, telephone: '555 0100' },
      });
    });

    it('raises a symptom without any temperature', async () => {
      const planId = await planOf();
      const { symptoms } = (await wearer.get(`/plans/${planId}`).expect(200)).body as { symptoms: { code: string }[] };
      const { body } = await wearer
        .create('/readings', aReading(planId, { value: null, symptoms: [symptoms[0]?.code] }))
        .expect(201);

      expect(body).toMatchObject({ judgement: { alert: 'symptom' } });
    });

    it('does not call a low reading after something against fever reassuring', async () => {
      const planId = await planOf();
      const { body } = await wearer.create('/readings', aReading(planId, { antipyreticTaken: 'yes' })).expect(201);

      expect(body).toMatchObject({ judgement: { alert: null, reassuring: false } });
    });

    it('is entered by the nurse for somebody on the telephone, not by a colleague', async () => {
      const planId = await planOf();

      await nurse.create('/readings', aReading(planId)).expect(201);
      await site.as('colleague').create('/readings', aReading(planId)).expect(404);
      await site.as('colleague').get(`/readings?planId=${planId}`).expect(404);
    });
  });

  describe('by alert', () => {
    const feverish = async (client = wearer) => {
      const planId = await planOf(client);
      const { body } = await client.create('/readings', aReading(planId, { value: '38.4' })).expect(201);
      return (body as { alertId: string }).alertId;
    };

    it('is paused by an acknowledgement and closed by an outcome only', async () => {
      const alertId = await feverish();
      const acknowledged = await nurse.post(`/alerts/${alertId}/acknowledgements`).expect(200);
      expect(Date.parse((acknowledged.body as { pausedUntil: string }).pausedUntil)).toBeGreaterThan(Date.now());
      expect((await openAlerts()).map((alert) => alert.alertId)).toContain(alertId);

      const closed = await nurse
        .post(`/alerts/${alertId}/outcomes`, { outcome: 'spoken-to-well', decided: 'Reading repeated, 36.9.' })
        .expect(200);

      expect(closed.body).toMatchObject({ alertId, outcome: 'spoken-to-well' });
      expect((await openAlerts()).map((alert) => alert.alertId)).not.toContain(alertId);
      const again = await nurse.post(`/alerts/${alertId}/outcomes`, { outcome: 'not-reached', decided: 'x' });
      expect(again.status).toBe(409);
    });

    it('needs an outcome that there is, in words', async () => {
      const alertId = await feverish();
      const close = (told: object) => nurse.post(`/alerts/${alertId}/outcomes`, told);

      expect((await close({ outcome: 'fine', decided: 'x' }).expect(400)).body).toMatchObject({
        errors: [{ pointer: '/outcome', accepted: expect.stringContaining('spoken-to-well') }],
      });
      await close({ outcome: 'spoken-to-well' }).expect(400);
      await nurse.post(`/alerts/${crypto.randomUUID()}/acknowledgements`).expect(404);
    });

    it('is not answered by the nurse whom it is about', async () => {
      const alertId = await feverish(nurse);

      const { body } = await nurse.post(`/alerts/${alertId}/acknowledgements`).expect(403);
      expect(body).toMatchObject({ type: '/problems/own-case' });
      await site.as('secondNurse').post(`/alerts/${alertId}/acknowledgements`).expect(200);
    });

    it('is the nurse’s', async () => {
      const alertId = await feverish();
      for (const part of ['wearer', 'infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).get('/alerts').expect(403);
        await site.as(part).post(`/alerts/${alertId}/acknowledgements`).expect(403);
        await site.as(part).post(`/alerts/${alertId}/outcomes`, { outcome: 'not-reached', decided: 'x' }).expect(403);
      }
    });
  });

  describe('by release', () => {
    const determined = async () => {
      const { incidentId, plan } = await exposed(site.as('colleague'));
      const { staffNumber, dateOfBirth } = PEOPLE.colleague;
      await nurse.post(`/incidents/${incidentId}/identity-confirmations`, { staffNumber, dateOfBirth }).expect(200);
      const { headers } = await nurse.get(`/incidents/${incidentId}`).expect(200);
      await nurse
        .create('/determinations', { incidentId, decision: 'confirm' }, { 'if-match': String(headers['etag']) })
        .expect(201);
      return { incidentId, planId: plan.planId };
    };
    const early = {
      early: 'The source was found to have another illness by two tests.',
      secondClinician: { login: 'second-nurse', password: PASSWORD },
    };

    it('is refused before the window’s end unless a second clinician signs too', async () => {
      const { planId, incidentId } = await determined();
      const release = (told: object) => nurse.create(`/plans/${planId}/release`, told);

      expect((await release({}).expect(422)).body).toMatchObject({ type: '/problems/window-open' });
      expect((await release({ early: early.early }).expect(422)).body).toMatchObject({
        type: '/problems/second-clinician-needed',
      });
      const { body } = await release(early).expect(200);
      expect(body).toMatchObject({ planId, incidentId, early: true, releasedAt: expect.any(String) });
      expect((await nurse.get(`/plans/${planId}`).expect(200)).body).toMatchObject({ state: 'released' });
      expect((await nurse.get(`/incidents/${incidentId}`).expect(200)).body).toMatchObject({
        incident: { state: 'released' },
      });
    });

    it('is refused while a fever waits for a human', async () => {
      const { planId } = await determined();
      const reading = await site
        .as('colleague')
        .create('/readings', aReading(planId, { value: '38.4' }))
        .expect(201);

      expect((await nurse.create(`/plans/${planId}/release`, early).expect(422)).body).toMatchObject({
        type: '/problems/alert-open',
      });
      await nurse
        .post(`/alerts/${(reading.body as { alertId: string }).alertId}/outcomes`, {
          outcome: 'spoken-to-sent-for-assessment',
          decided: 'Tested; the cause was found and is another one.',
        })
        .expect(200);
      await nurse.create(`/plans/${planId}/release`, early).expect(200);
    });

    it('is refused without a determination, and to everybody but the nurse', async () => {
      const planId = await planOf(site.as('colleague'));

      expect((await nurse.create(`/plans/${planId}/release`, early).expect(422)).body).toMatchObject({
        type: '/problems/not-determined',
      });
      for (const part of ['wearer', 'colleague', 'infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).create(`/plans/${planId}/release`, early).expect(403);
      }
    });

    it('is not the nurse’s own', async () => {
      const { plan } = await exposed(nurse);

      expect((await nurse.create(`/plans/${plan.planId}/release`, early).expect(403)).body).toMatchObject({
        type: '/problems/own-case',
      });
    });
  });

  describe('by duty status', () => {
    it('shows a manager the own team, without one clinical word', async () => {
      await exposed();
      const response = await site.as('manager').get('/duty-statuses').expect(200);
      const { lines } = response.body as { lines: Record<string, unknown>[] };

      expect(lines.map(({ name }) => name)).toContain(PEOPLE.wearer.name);
      for (const line of lines) {
        expect(Object.keys(line).sort()).toEqual(
          ['daysRemaining', 'name', 'nextReview', 'rosterRef', 'unitId', 'until', 'words', 'work'].sort(),
        );
      }
      expect(response.text).not.toMatch(/ebola|fever|expos|risk|category|glove|blood|temperature|symptom/i);
      expect(response.text).not.toContain(site.personIds.wearer);
    });

    it('shows another team’s manager nothing of it', async () => {
      const { body } = await site.as('otherManager').get('/duty-statuses').expect(200);

      expect((body as { lines: unknown[] }).lines).toEqual([]);
    });

    it('shows the nurse all and infection control the numbers', async () => {
      const all = (await nurse.get('/duty-statuses').expect(200)).body as { lines: unknown[] };
      const counted = await site.as('infectionControl').get('/duty-statuses').expect(200);

      expect(all.lines.length).toBeGreaterThan(0);
      expect((counted.body as { lines: unknown }).lines).toBeNull();
      expect((counted.body as { counts: { count: number }[] }).counts.length).toBeGreaterThan(0);
      expect(counted.text).not.toContain(PEOPLE.wearer.name);
    });

    it('is closed to wearers and administrators', async () => {
      for (const part of ['wearer', 'administrator'] as const) await site.as(part).get('/duty-statuses').expect(403);
    });
  });
});
