import { describe, expect, it } from '@jest/globals';
import { aHospital, NOTHING_REACHED, reported, SITE_ID, WEARER, WEARER_ID } from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import type { DueCheck } from '../records/followup.js';
import { RaiseDueAlerts } from './raise-due-alerts.js';
import { RecordReading } from './record-reading.js';

function dueChecks({ stored }: HospitalInMemory, ...keys: readonly string[]): DueCheck[] {
  return stored.checks
    .filter(({ key }) => keys.includes(key))
    .map(({ planId, key, kind, dueUntil }) => ({ siteId: SITE_ID, planId, checkKey: key, kind, dueUntil }));
}

async function aFollowUp() {
  const hospital = aHospital();
  const { plan, incidentId } = await reported(hospital);
  hospital.stored.alerts.clear();
  hospital.stored.outbox = [];
  hospital.stored.woken = [];
  return { hospital, incidentId, planId: plan?.planId ?? '' };
}

const EVENING = 'reading/2026-10-21/evening';

describe('raising what is due', () => {
  it('raises a missed reading once its slot and the site’s grace are over, with a mail', async () => {
    const { hospital, planId, incidentId } = await aFollowUp();
    // 22:00 in London is 21:00 in UTC; the grace is an hour.
    hospital.now = '2026-10-21T22:00:00Z';
    const raised = await new RaiseDueAlerts(hospital).execute({
      siteId: SITE_ID,
      checks: dueChecks(hospital, EVENING),
    });

    expect(raised).toEqual({ raised: 1, skipped: 0 });
    expect([...hospital.stored.alerts.values()]).toEqual([
      expect.objectContaining({
        kind: 'missed-reading',
        planId,
        incidentId,
        personId: WEARER_ID,
        checkKey: EVENING,
        raisedAt: hospital.now,
      }),
    ]);
    expect(hospital.stored.outbox).toHaveLength(1);
    expect(hospital.stored.woken).toEqual(['send-notices']);
  });

  it('waits for the end of the grace', async () => {
    const { hospital } = await aFollowUp();
    hospital.now = '2026-10-21T21:59:59Z';

    expect(
      await new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks: dueChecks(hospital, EVENING) }),
    ).toEqual({ raised: 0, skipped: 1 });
    expect(hospital.stored.alerts.size).toBe(0);
    expect(hospital.stored.woken).toEqual([]);
  });

  it('raises each check once, however many workers look at it', async () => {
    const { hospital } = await aFollowUp();
    hospital.now = '2026-10-22T12:00:00Z';
    const checks = dueChecks(hospital, EVENING, 'reading/2026-10-22/morning');
    const results = await Promise.all(
      Array.from({ length: 4 }, () => new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks })),
    );

    expect(results.map(({ raised }) => raised)).toEqual([2, 0, 0, 0]);
    expect(hospital.stored.alerts.size).toBe(2);
    expect(hospital.stored.outbox).toHaveLength(2);
  });

  it('skips what was done meanwhile, and what belongs to a released plan', async () => {
    const { hospital, planId } = await aFollowUp();
    hospital.now = '2026-10-21T19:00:00Z';
    await new RecordReading(hospital).execute(
      { idempotencyKey: 'key', planId, at: hospital.now, timeZone: 'Europe/London', value: '36.6', unit: 'Cel' },
      WEARER,
    );
    hospital.now = '2026-10-22T12:00:00Z';
    const run = (...keys: string[]) =>
      new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks: dueChecks(hospital, ...keys) });
    expect(await run(EVENING)).toEqual({ raised: 0, skipped: 1 });

    const plan = hospital.stored.plans.get(planId);
    if (plan) hospital.stored.plans.set(planId, { ...plan, state: 'released' });
    expect(await run('reading/2026-10-22/morning')).toEqual({ raised: 0, skipped: 1 });
  });

  it('skips what does not exist', async () => {
    const { hospital, planId } = await aFollowUp();
    const check = { siteId: SITE_ID, planId, checkKey: 'nothing', kind: 'test', dueUntil: hospital.now } as const;

    expect(await new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks: [check] })).toEqual({
      raised: 0,
      skipped: 1,
    });
  });

  it('names the kind of what is due', async () => {
    const { hospital } = await aFollowUp();
    hospital.now = '2026-11-13T12:00:00Z';
    const kinds = [...new Set(hospital.stored.checks.map(({ kind }) => kind))];
    const one = kinds.map((kind) => hospital.stored.checks.find((check) => check.kind === kind)?.key ?? '');
    await new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks: dueChecks(hospital, ...one) });

    expect(
      Object.fromEntries([...hospital.stored.alerts.values()].map(({ checkKey, kind }) => [checkKey, kind])),
    ).toMatchObject({ 'review/1': 'check-overdue', 'support/1': 'check-overdue', release: 'release-due' });
  });

  it('tells nothing clinical in the mail', async () => {
    const { hospital } = await aFollowUp();
    hospital.now = '2026-10-22T12:00:00Z';
    await new RaiseDueAlerts(hospital).execute({ siteId: SITE_ID, checks: dueChecks(hospital, EVENING) });

    for (const { subject, text } of hospital.stored.outbox) {
      expect(`${subject} ${text}`).not.toMatch(/reading|temperature|missed|ebola|Wren|follow-up/i);
    }
  });

  it('does not take checks of two sites into one transaction', async () => {
    const hospital = aHospital();
    await reported(hospital, NOTHING_REACHED);
    const [check] = dueChecks(hospital, 'review/1');
    if (!check) throw new Error('There is no review.');

    expect(() => new RaiseDueAlerts(hospital).execute({ siteId: 'another', checks: [check] })).toThrow(TypeError);
  });
});
