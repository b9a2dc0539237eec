import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type { Response } from 'supertest';
import { anExposure, aReport } from './support/reports.js';
import { PASSWORD, PEOPLE, startSiteInUse, type Client, type SiteInUse } from './support/site-in-use.js';

const IDENTIFIERS = { staffNumber: PEOPLE.wearer.staffNumber, dateOfBirth: PEOPLE.wearer.dateOfBirth };

describe('triage', () => {
  let site: SiteInUse;
  let nurse: Client;

  beforeAll(async () => {
    site = await startSiteInUse();
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  const reported = async (client = site.as('wearer'), told = anExposure()) =>
    (await client.create('/incidents', told).expect(201)).body as {
      incidentId: string;
      plan: { planId: string };
      assessment: { categoryId: string; table: string };
    };
  const identified = async (part: 'wearer' | 'colleague' = 'wearer') => {
    const body = await reported(site.as(part));
    const { staffNumber, dateOfBirth } = PEOPLE[part];
    await nurse.post(`/incidents/${body.incidentId}/identity-confirmations`, { staffNumber, dateOfBirth }).expect(200);
    return body;
  };
  const etagOf = async (incidentId: string) =>
    String((await nurse.get(`/incidents/${incidentId}`).expect(200)).headers['etag']);
  const determine = async (incidentId: string, told: object, client = nurse) =>
    client.create('/determinations', { incidentId, ...told }, { 'if-match': await etagOf(incidentId) });

  describe('of identity', () => {
    it('confirms with two identifiers', async () => {
      const { incidentId } = await reported();
      const { body } = await nurse.post(`/incidents/${incidentId}/identity-confirmations`, IDENTIFIERS).expect(200);

      expect(body).toEqual({ incidentId, identityConfirmedAt: expect.stringMatching(/^\d{4}-\d\d-\d\dT/) });
    });

    it('says which identifier is not the one on record, and not what is', async () => {
      const { incidentId } = await reported();
      const confirm = (told: object) =>
        nurse.post(`/incidents/${incidentId}/identity-confirmations`, { ...IDENTIFIERS, ...told });

      const { body, text } = await confirm({ dateOfBirth: '1988-04-13' }).expect(422);
      expect(body).toMatchObject({ type: '/problems/identity-mismatch', errors: [{ pointer: '/dateOfBirth' }] });
      expect(text).not.toContain(PEOPLE.wearer.dateOfBirth);
      await confirm({ staffNumber: 'S-1002' }).expect(422);
    });

    it('is the nurse’s', async () => {
      const { incidentId } = await reported();
      for (const part of ['wearer', 'infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).post(`/incidents/${incidentId}/identity-confirmations`, IDENTIFIERS).expect(403);
      }
    });
  });

  describe('by determination', () => {
    it('confirms the assessment and puts the plan on it', async () => {
      const { incidentId, assessment } = await identified('colleague');
      const response = await determine(incidentId, { decision: 'confirm' });

      expect(response.status).toBe(201);
      expect(response.body).toMatchObject({
        determination: { incidentId, categoryId: assessment.categoryId, departs: false, secondClinician: null },
        plan: { basis: 'determination', state: 'running' },
      });
      expect(response.headers['etag']).toBe(await etagOf(incidentId));
      const duty = (await site.as('manager').get('/duty-statuses').expect(200)).body as {
        lines: { name: string; work: string; until: string | null; daysRemaining: number | null }[];
      };
      expect(duty.lines.find(({ name }) => name === PEOPLE.colleague.name)).toMatchObject({
        work: expect.not.stringMatching(/^not-rostered/),
        until: expect.stringMatching(/^\d{4}-/),
        daysRemaining: expect.any(Number),
      });
    });

    it('waits for the identity', async () => {
      const { incidentId } = await reported();
      const { status, body } = await determine(incidentId, { decision: 'confirm' });

      expect([status, (body as { type: string }).type]).toEqual([422, '/problems/identity-not-confirmed']);
    });

    it('departs with a reason only, and below the interim category with a second clinician only', async () => {
      const { incidentId, assessment } = await identified();
      const table = (await nurse.get(`/tables/${assessment.table}`).expect(200)).body as {
        table: { categories: { id: string; level: number }[] };
      };
      const mildest = table.table.categories[0]?.id ?? '';
      const depart = (told: object) => determine(incidentId, { decision: 'depart', categoryId: mildest, ...told });
      const reason = 'Both gloves were looked at again under light and were whole.';

      expect((await depart({})).body).toMatchObject({ status: 422, errors: [{ pointer: '/reason' }] });
      expect((await depart({ reason })).body).toMatchObject({ type: '/problems/second-clinician-needed' });
      const second = (login: string, password = PASSWORD) => depart({ reason, secondClinician: { login, password } });
      expect((await second('second-nurse', 'not this one')).body).toMatchObject({
        type: '/problems/second-clinician-refused',
        status: 422,
      });
      expect((await second('nurse')).body).toMatchObject({ type: '/problems/second-clinician-refused' });
      expect((await second('manager')).body).toMatchObject({ type: '/problems/second-clinician-refused' });

      const signed = await second('second-nurse');
      expect(signed.status).toBe(201);
      expect(signed.body).toMatchObject({
        determination: { categoryId: mildest, departs: true, reason, secondClinician: expect.any(String) },
      });
    });

    it('never decides the nurse’s own case', async () => {
      const { incidentId } = await reported(nurse);
      const confirm = (client: Client) =>
        client.post(`/incidents/${incidentId}/identity-confirmations`, {
          staffNumber: PEOPLE.nurse.staffNumber,
          dateOfBirth: PEOPLE.nurse.dateOfBirth,
        });
      await confirm(site.as('secondNurse')).expect(200);

      const { status, body } = await determine(incidentId, { decision: 'confirm' });

      expect([status, (body as { type: string }).type]).toEqual([403, '/problems/own-case']);
      expect((await determine(incidentId, { decision: 'confirm' }, site.as('secondNurse'))).status).toBe(201);
    });

    it('is the nurse’s', async () => {
      const { incidentId } = await identified();
      for (const part of ['wearer', 'infectionControl', 'manager', 'administrator'] as const) {
        await site
          .as(part)
          .create('/determinations', { incidentId, decision: 'confirm' }, { 'if-match': '"2"' })
          .expect(403);
      }
    });
  });

  describe('of sources', () => {
    it('registers a pseudonym once and lists its dated statuses', async () => {
      const first = await nurse.post('/sources', { pseudonym: 'Bed 9' }).expect(201);
      const again = await nurse.post('/sources', { pseudonym: 'Bed 9' }).expect(201);
      const { sourceId } = first.body as { sourceId: string };

      expect(again.body).toMatchObject({ sourceId });
      await nurse
        .post(`/sources/${sourceId}/statuses`, { status: 'suspected', agent: 'lassa', onDate: '2026-01-10' })
        .expect(200);
      const { items } = (await nurse.get('/sources').expect(200)).body as { items: { sourceId: string }[] };
      expect(items.find((item) => item.sourceId === sourceId)).toMatchObject({
        pseudonym: 'Bed 9',
        statuses: [{ status: 'suspected', agent: 'lassa', onDate: '2026-01-10', sampledOn: null }],
      });
    });

    it('lists every linked incident with its plan difference when a status changes', async () => {
      const { incidentId } = await reported(site.as('colleague'), aReport({ source: 'Bed 11', agent: 'mpox' }));
      const { items } = (await nurse.get('/sources').expect(200)).body as {
        items: { sourceId: string; pseudonym: string }[];
      };
      const sourceId = items.find(({ pseudonym }) => pseudonym === 'Bed 11')?.sourceId ?? '';

      const { body } = await nurse
        .post(`/sources/${sourceId}/statuses`, { status: 'confirmed', agent: 'ebola', onDate: '2026-01-12' })
        .expect(200);

      expect(body).toMatchObject({
        source: { sourceId },
        linked: [
          { incidentId, difference: { onlyTightens: expect.any(Boolean) }, tightenedAtOnce: expect.any(Boolean) },
        ],
      });
    });

    it('refuses an unknown agent and an unknown source', async () => {
      const { body } = await nurse.post('/sources', { pseudonym: 'Bed 12' }).expect(201);
      const { sourceId } = body as { sourceId: string };
      const change = (id: string, agent: string) =>
        nurse.post(`/sources/${id}/statuses`, { status: 'confirmed', agent, onDate: '2026-01-12' });

      expect((await change(sourceId, 'dragon-pox').expect(422)).body).toMatchObject({
        errors: [{ pointer: '/agent' }],
      });
      await change(crypto.randomUUID(), 'ebola').expect(404);
    });

    it('is the nurse’s', async () => {
      for (const part of ['wearer', 'infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).get('/sources').expect(403);
        await site.as(part).post('/sources', { pseudonym: 'Bed 13' }).expect(403);
      }
    });
  });

  describe('by letter', () => {
    it('drafts a referral, shows it as PDF, and keeps the bytes that were signed', async () => {
      const { incidentId } = await reported();
      const drafted = await nurse.post('/letters', { incidentId, kind: 'referral' }).expect(201);
      const { letterId } = drafted.body as { letterId: string };
      expect(drafted.body).toMatchObject({ incidentId, kind: 'referral', revision: 1, signedBy: null });

      const draft = await nurse.get(`/letters/${letterId}/letter.pdf`).buffer(true).parse(bytes).expect(200);
      expect(draft.headers['content-type']).toBe('application/pdf');
      expect(draft.headers['cache-control']).toBe('no-store');
      expect((draft.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');

      await nurse.post(`/letters/${letterId}/signature`, {}).expect(200);
      const first = await nurse.get(`/letters/${letterId}/letter.pdf`).buffer(true).parse(bytes).expect(200);
      const second = await site
        .as('wearer')
        .get(`/letters/${letterId}/letter.pdf`)
        .buffer(true)
        .parse(bytes)
        .expect(200);
      expect((first.body as Buffer).equals(draft.body as Buffer)).toBe(false);
      expect((second.body as Buffer).equals(first.body as Buffer)).toBe(true);
      expect((await nurse.get(`/letters/${letterId}`).expect(200)).body).toMatchObject({
        signedAt: expect.any(String),
      });
      expect((await nurse.get(`/letters?incidentId=${incidentId}`).expect(200)).body).toMatchObject({
        items: [{ letterId }],
      });
    });

    it('is closed to whoever may not know whom it is about', async () => {
      const { incidentId } = await reported();
      const { body } = await nurse.post('/letters', { incidentId, kind: 'referral', paper: 'LETTER' }).expect(201);
      const { letterId } = body as { letterId: string };

      for (const part of ['infectionControl', 'manager', 'administrator'] as const) {
        await site.as(part).get(`/letters/${letterId}/letter.pdf`).expect(403);
        await site.as(part).get(`/letters?incidentId=${incidentId}`).expect(403);
      }
      await site.as('colleague').get(`/letters/${letterId}`).expect(404);
      await site.as('colleague').get(`/letters/${letterId}/letter.pdf`).expect(404);
      await site.as('wearer').post(`/letters/${letterId}/signature`, {}).expect(403);
    });

    it('refuses another kind and an incident that there is not', async () => {
      await nurse.post('/letters', { incidentId: crypto.randomUUID(), kind: 'referral' }).expect(404);
      await nurse.post('/letters', { incidentId: crypto.randomUUID(), kind: 'invitation' }).expect(400);
    });
  });
});

function bytes(response: Response, done: (error: Error | null, body: Buffer) => void): void {
  const chunks: Buffer[] = [];
  const stream = response as unknown as NodeJS.ReadableStream;
  stream.on('data', (chunk: Buffer) => chunks.push(chunk));
  stream.on('end', () => done(null, Buffer.concat(chunks)));
}
