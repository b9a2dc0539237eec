import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type { Response } from 'supertest';
import { aReading, anExposure, aReport } from './support/reports.js';
import { startSiteInUse, type Client, type SiteInUse } from './support/site-in-use.js';

/** Everything but the answer, and the notice that it is still being worked on. */
function refusalsOf(answers: readonly Response[]): string[] {
  return answers
    .filter(({ status }) => status !== 201 && status !== 409)
    .map(({ status, text }) => `${status} ${text}`);
}

describe('a repeated request', () => {
  let site: SiteInUse;
  let wearer: Client;
  let nurse: Client;

  beforeAll(async () => {
    site = await startSiteInUse();
    wearer = site.as('wearer');
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  const withReportId = async (reportId: unknown) => {
    const { items } = (await nurse.get('/incidents?limit=200').expect(200)).body as { items: { incidentId: string }[] };
    const files = await Promise.all(items.map(({ incidentId }) => nurse.get(`/incidents/${incidentId}`)));
    return files.filter(({ body }) => (body as { incident: { reportId: string } }).incident.reportId === reportId);
  };

  it('makes one incident of 64 parallel sends of one key', async () => {
    const report = anExposure();
    const key = { 'idempotency-key': crypto.randomUUID() };

    const answers = await Promise.all(Array.from({ length: 64 }, () => wearer.post('/incidents', report, key)));

    expect(refusalsOf(answers)).toEqual([]);
    expect(answers.map(({ status }) => status)).toContain(201);
    const told = answers.filter(({ status }) => status === 201).map(({ text }) => text);
    expect(new Set(told.map((text) => (JSON.parse(text) as { incidentId: string }).incidentId)).size).toBe(1);
    expect(await withReportId(report['reportId'])).toHaveLength(1);
  });

  it('is answered like the first one, byte for byte', async () => {
    const report = anExposure();
    const key = { 'idempotency-key': crypto.randomUUID() };
    const first = await wearer.post('/incidents', report, key).expect(201);

    const again = await wearer.post('/incidents', report, key).expect(201);

    expect(JSON.parse(again.text)).toEqual(JSON.parse(first.text));
    expect(again.headers['etag']).toBe(first.headers['etag']);
  });

  it('is the same report under another key, because its id is kept for ever', async () => {
    const report = anExposure();
    const first = await wearer.create('/incidents', report).expect(201);

    const again = await wearer.create('/incidents', report).expect(200);

    const { incidentId, advice, assessment } = first.body as Record<string, unknown>;
    expect(again.body).toMatchObject({ incidentId, advice, assessment });
    expect(await withReportId(report['reportId'])).toHaveLength(1);
  });

  it('is refused when one answer in it is another', async () => {
    const report = aReport();
    const key = { 'idempotency-key': crypto.randomUUID() };
    await wearer.post('/incidents', report, key).expect(201);

    await wearer.post('/incidents', { ...report, callMe: false }, key).expect(422);
  });

  it('does not answer somebody else with what was told to the first', async () => {
    const report = aReport();
    const key = { 'idempotency-key': crypto.randomUUID() };
    await wearer.post('/incidents', report, key).expect(201);

    const other = await site.as('colleague').post('/incidents', report, key);

    expect(other.status).toBe(409);
    expect(other.text).not.toContain('"assessment"');
  });

  it('keeps one reading of 32 parallel sends', async () => {
    const { body } = await wearer.create('/incidents', anExposure()).expect(201);
    const { planId } = (body as { plan: { planId: string } }).plan;
    const reading = aReading(planId);
    const key = { 'idempotency-key': crypto.randomUUID() };

    const answers = await Promise.all(Array.from({ length: 32 }, () => wearer.post('/readings', reading, key)));

    expect(refusalsOf(answers)).toEqual([]);
    const { items } = (await wearer.get(`/readings?planId=${planId}`).expect(200)).body as { items: unknown[] };
    expect(items).toHaveLength(1);
  });

  it('signs one determination of 16 parallel sends', async () => {
    const { body } = await wearer.create('/incidents', anExposure()).expect(201);
    const { incidentId } = body as { incidentId: string };
    await nurse
      .post(`/incidents/${incidentId}/identity-confirmations`, { staffNumber: 'S-1001', dateOfBirth: '1988-04-12' })
      .expect(200);
    const { headers } = await nurse.get(`/incidents/${incidentId}`);
    const sent = { 'idempotency-key': crypto.randomUUID(), 'if-match': String(headers['etag']) };

    const answers = await Promise.all(
      Array.from({ length: 16 }, () => nurse.post('/determinations', { incidentId, decision: 'confirm' }, sent)),
    );

    expect(refusalsOf(answers)).toEqual([]);
    const file = await nurse.get(`/incidents/${incidentId}`);
    expect((file.body as { determinations: unknown[] }).determinations).toHaveLength(1);
  });
});
