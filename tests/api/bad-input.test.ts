import { afterAll, beforeAll, beforeEach, describe, expect, it } from '@jest/globals';
import request from 'supertest';
import { aReading, aReport, anExposure, minutesAgo } from './support/reports.js';
import { startSiteInUse, type Client, type SiteInUse } from './support/site-in-use.js';

/** Every refusal names the field and what would be accepted, never repeats what was sent, and leaves nothing behind. */
describe('bad input', () => {
  let site: SiteInUse;
  let wearer: Client;
  let nurse: Client;
  let before: number;

  const incidents = async () => ((await nurse.get('/incidents?limit=200')).body as { items: unknown[] }).items.length;

  beforeAll(async () => {
    site = await startSiteInUse();
    wearer = site.as('wearer');
    nurse = site.as('nurse');
  });

  afterAll(() => site.stop());

  beforeEach(async () => {
    before = await incidents();
  });

  const refused = (status: number, code: string, pointer: string) => ({
    type: `/problems/${code}`,
    status,
    errors: expect.arrayContaining([expect.objectContaining({ pointer, accepted: expect.stringMatching(/./) })]),
  });

  it.each([
    [
      'an incident in the future',
      { occurred: { from: minutesAgo(-90), timeZone: 'Europe/Madrid' } },
      422,
      'unacceptable-answer',
      '/occurred/from',
    ],
    [
      'a layer that the ensemble lacks',
      { breaches: [{ layer: 'cape', extent: 'total', manner: 'tear' }] },
      422,
      'unknown-layer',
      '/breaches/0/layer',
    ],
    ['a layer found whole that the ensemble lacks', { foundWhole: ['cape'] }, 422, 'unknown-layer', '/foundWhole/0'],
    [
      'a removal step that the sequence lacks',
      { stage: 'removal', step: 'take-off-cape' },
      422,
      'unknown-step',
      '/step',
    ],
    [
      'no breach and a total tear',
      { kind: 'near-miss', breaches: [{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }] },
      422,
      'contradictory-facts',
      '/kind',
    ],
    [
      'a layer that failed and was found whole',
      { foundWhole: ['outer-gloves'] },
      422,
      'contradictory-facts',
      '/foundWhole/0',
    ],
    [
      'a zone that IANA does not know',
      { occurred: { from: minutesAgo(30), timeZone: 'Europe/Atlantis' } },
      422,
      'unknown-time-zone',
      '/occurred/timeZone',
    ],
    ['an instant without its offset', { leftAreaAt: '2026-01-31T10:00:00' }, 400, 'malformed', '/leftAreaAt'],
    ['a report id of another version', { reportId: crypto.randomUUID() }, 400, 'malformed', '/reportId'],
    ['an agent that the rulebook lacks', { agent: 'dragon-pox' }, 422, 'unacceptable-answer', '/agent'],
    ['a fact that the vocabulary lacks', { facts: { moonPhase: 'full' } }, 422, 'unknown-fact', '/facts/moonPhase'],
    ['a stage that there is not', { stage: 'lunch' }, 400, 'malformed', '/stage'],
    ['a field that there is not', { colour: 'green' }, 400, 'malformed', '/colour'],
    ['nobody’s staff number', { wearer: { staffNumber: 'S-9' } }, 422, 'unacceptable-answer', '/wearer/staffNumber'],
    ['a unit of another site', { unitId: crypto.randomUUID() }, 422, 'unacceptable-answer', '/unitId'],
  ])('refuses %s', async (_, told, status, code, pointer) => {
    const { body, headers } = await wearer.create('/incidents', aReport(told));

    expect(body).toMatchObject(refused(status, code, pointer));
    expect(headers['content-type']).toContain('application/problem+json');
    expect(await incidents()).toBe(before);
  });

  it('refuses a body of 10 MB before reading it all', async () => {
    const { status, body } = await wearer.create('/incidents', aReport({ account: 'x'.repeat(10 * 1024 * 1024) }));

    expect([status, (body as { type: string }).type]).toEqual([413, '/problems/too-large']);
    expect(await incidents()).toBe(before);
  });

  it('refuses a report without a key', async () => {
    const { status, body } = await wearer.post('/incidents', aReport());

    expect(status).toBe(400);
    expect(body).toMatchObject({ errors: [{ parameter: 'Idempotency-Key' }] });
    expect(await incidents()).toBe(before);
  });

  it('refuses a key that stood before another body', async () => {
    const key = crypto.randomUUID();
    const report = aReport();
    await wearer.post('/incidents', report, { 'idempotency-key': key }).expect(201);

    const { status, body } = await wearer.post('/incidents', aReport(), { 'idempotency-key': key });

    expect([status, (body as { type: string }).type]).toEqual([422, '/problems/idempotency-key-reused']);
    expect(await incidents()).toBe(before + 1);
  });

  it('asks again about something older than a year, and keeps it when it is confirmed', async () => {
    const from = new Date(Date.now() - 400 * 86_400_000).toISOString();
    const report = aReport({ occurred: { from, timeZone: 'Europe/Madrid' } });

    const asked = await wearer.create('/incidents', report).expect(422);
    expect(asked.body).toMatchObject(refused(422, 'needs-confirmation', '/occurred/from'));
    expect(await incidents()).toBe(before);

    const kept = await wearer.create('/incidents', { ...report, confirmed: true }).expect(201);
    const { incidentId } = kept.body as { incidentId: string };
    const alerts = await nurse.get(`/alerts?open=true&incidentId=${incidentId}`).expect(200);
    expect((alerts.body as { items: { kind: string }[] }).items.map(({ kind }) => kind)).toContain('implausible-entry');
  });

  describe('in a reading', () => {
    let planId: string;
    const readings = async () =>
      ((await wearer.get(`/readings?planId=${planId}`).expect(200)).body as { items: unknown[] }).items.length;

    beforeAll(async () => {
      const { body } = await wearer.create('/incidents', anExposure()).expect(201);
      planId = (body as { plan: { planId: string } }).plan.planId;
    });

    it.each([
      ['370 °C', { value: '370' }, 422, '/value'],
      ['a word', { value: 'high' }, 400, '/value'],
      ['a number that is no text', { value: 36.7 }, 400, '/value'],
      ['a unit that UCUM does not know', { unit: 'C' }, 400, '/unit'],
      ['an instant in the future', { at: minutesAgo(-90) }, 422, '/at'],
      ['a zone that IANA does not know', { timeZone: 'Mars/Olympus' }, 422, '/timeZone'],
      ['a symptom that the plan does not ask for', { symptoms: ['green-nose'] }, 422, '/symptoms/0'],
    ])('refuses %s', async (_, told, status, pointer) => {
      const response = await wearer.create('/readings', aReading(planId, told));

      expect(response.status).toBe(status);
      expect(response.body).toMatchObject({
        errors: [expect.objectContaining({ pointer, accepted: expect.stringMatching(/./) })],
      });
      expect(await readings()).toBe(0);
    });

    it('asks again about 73.8 °C, and keeps it for the nurse when it is confirmed', async () => {
      const asked = await wearer.create('/readings', aReading(planId, { value: '73.8' })).expect(422);
      expect(asked.body).toMatchObject(refused(422, 'needs-confirmation', '/value'));
      expect(await readings()).toBe(0);

      const kept = await wearer.create('/readings', aReading(planId, { value: '73.8', confirmed: true })).expect(201);

      expect(kept.body).toMatchObject({ alertId: expect.any(String) });
      expect(await readings()).toBe(1);
      const { items } = (await nurse.get('/alerts?open=true').expect(200)).body as {
        items: { kind: string; alertId: string }[];
      };
      expect(items.find(({ alertId }) => alertId === (kept.body as { alertId: string }).alertId)?.kind).toBe(
        'implausible-entry',
      );
    });
  });

  it('refuses a second determination on a stale version', async () => {
    const { body } = await wearer.create('/incidents', anExposure()).expect(201);
    const { incidentId } = body as { incidentId: string };
    await nurse
      .post(`/incidents/${incidentId}/identity-confirmations`, { staffNumber: 'S-1001', dateOfBirth: '1988-04-12' })
      .expect(200);
    const { headers } = await nurse.get(`/incidents/${incidentId}`).expect(200);
    const determine = () =>
      nurse.create('/determinations', { incidentId, decision: 'confirm' }, { 'if-match': String(headers['etag']) });
    await determine().expect(201);

    const stale = await determine().expect(412);

    expect(stale.body).toMatchObject({ type: '/problems/stale-version', errors: [{ accepted: expect.any(String) }] });
    const file = await nurse.get(`/incidents/${incidentId}`).expect(200);
    expect((file.body as { determinations: unknown[] }).determinations).toHaveLength(1);
    await nurse.create('/determinations', { incidentId, decision: 'confirm' }).expect(428);
  });

  it('does not let a health answer into a problem or the log', async () => {
    const account = 'canary-4711 vomited on the visor';
    await wearer.create('/incidents', aReport({ account, stage: 'canary-4711' })).expect(400);
    const { text } = await wearer.create('/incidents', aReport({ account, agent: 'canary-4711' })).expect(422);
    await wearer.create('/incidents', aReport({ account, buddy: 'canary-4711' })).expect(201);

    expect(text).not.toContain('canary-4711');
    expect(site.logged.join('')).not.toContain('canary-4711');
  });

  it('answers every shape of nonsense in every field without a fault of its own', async () => {
    const nonsense: unknown[] = [
      null,
      true,
      0,
      '',
      'x',
      [],
      [null],
      {},
      { a: 1 },
      '\u0000',
      '\ud800',
      '9'.repeat(5000),
      { toString: 1 },
      { constructor: 1 },
      { length: -1 },
    ];
    const fields = [
      ...Object.keys(anExposure()),
      'eventId',
      'unitId',
      'lapses',
      'facts',
      'firstAid',
      'buddy',
      'account',
    ];
    const statuses = new Set<number>();
    for (const field of fields) {
      for (const value of nonsense) {
        const { status } = await request(site.server)
          .post('/api/v1/incidents')
          .set('cookie', wearer.cookie ?? '')
          .set('idempotency-key', crypto.randomUUID())
          .send(anExposure({ [field]: value }));
        statuses.add(status);
      }
    }
    expect([...statuses].filter((status) => status >= 500)).toEqual([]);
  });
});
