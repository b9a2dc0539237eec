import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  BUDDY,
  determined,
  INFECTION_CONTROL,
  NOTHING_REACHED,
  NURSE,
  only,
  refusalOf,
  reported,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { AmendIncident, type AmendIncidentCommand } from './amend-incident.js';
import { SiteKnowledge } from './site-knowledge.js';

function amending(hospital: HospitalInMemory) {
  return new AmendIncident(hospital, theRulebook(), new SiteKnowledge());
}

async function aCase(changes: Parameters<typeof reported>[1] = {}) {
  const hospital = aHospital();
  const { incidentId } = await reported(hospital, changes);
  const command = (given: AmendIncidentCommand['changes'], onRevision = 1): AmendIncidentCommand => ({
    incidentId,
    onRevision,
    changes: given,
  });
  return { hospital, incidentId, command };
}

const SPLASHED = { seen: { eyeSplash: 'yes' } } as const;

describe('an amendment', () => {
  it('is appended: what was told first stays as it was told', async () => {
    const { hospital, command } = await aCase();
    const [first] = structuredClone(hospital.stored.tellings);
    const amended = await amending(hospital).execute({ ...command(SPLASHED), account: ' It went in my eye. ' }, WEARER);

    expect(amended.revision).toBe(2);
    expect(hospital.stored.tellings).toHaveLength(2);
    expect(hospital.stored.tellings[0]).toEqual(first);
    expect(hospital.stored.tellings[1]).toMatchObject({
      kind: 'amendment',
      revision: 2,
      account: 'It went in my eye.',
      content: { seen: { eyeSplash: 'yes', skinWet: 'unknown' }, breaches: first?.content.breaches },
    });
    expect(hospital.stored.assessments.map(({ revision }) => revision)).toEqual([1, 2]);
    expect(only(hospital.stored.incidents)).toMatchObject({ revision: 2, content: { seen: { eyeSplash: 'yes' } } });
  });

  it('gives advice, assessment and barrier for what is known now', async () => {
    const { hospital, command } = await aCase();
    const amended = await amending(hospital).execute(command(SPLASHED), WEARER);

    expect(amended.barrier.routes.mucosaEye).toBe('yes');
    expect(amended.advice.firstAid.map(({ code }) => code)).toContain('irrigate-eye');
    expect(amended.assessment).toMatchObject({ settled: true, categoryId: 'high-risk' });
  });

  it('tightens a plan at once', async () => {
    const { hospital, command } = await aCase(NOTHING_REACHED);
    expect(only(hospital.stored.plans).plan.category).toBe('no-known-high-risk');
    const amended = await amending(hospital).execute(command(SPLASHED), WEARER);

    expect(amended.tightenedAtOnce).toBe(true);
    expect(amended.plan?.category).toBe('high-risk');
    expect(amended.difference).toMatchObject({ onlyTightens: true, removed: 0 });
    expect(amended.difference?.restrictionsAdded).toBeGreaterThan(0);
    expect(amended.needsDetermination).toBe(false);
  });

  it('never loosens a plan: that waits for a determination', async () => {
    const { hospital, command } = await aCase();
    const before = structuredClone(hospital.stored.checks);
    const amended = await amending(hospital).execute(command({ ...NOTHING_REACHED }), WEARER);

    expect(amended.assessment.categoryId).toBe('no-known-high-risk');
    expect(amended.tightenedAtOnce).toBe(false);
    expect(amended.needsDetermination).toBe(true);
    expect(amended.difference?.onlyTightens).toBe(false);
    expect(hospital.stored.checks).toEqual(before);
    expect(only(hospital.stored.plans).plan.category).toBe('high-risk');
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });

  it('re-opens a determined case whose category it changes', async () => {
    const hospital = aHospital();
    const { incidentId } = await determined(hospital, NOTHING_REACHED);
    expect(hospital.stored.dutyStatuses.size).toBe(0);
    const amended = await amending(hospital).execute({ incidentId, onRevision: 2, changes: SPLASHED }, WEARER);

    expect(amended).toMatchObject({ revision: 3, tightenedAtOnce: true, needsDetermination: true });
    expect(only(hospital.stored.incidents).state).toBe('open');
    expect(only(hospital.stored.plans)).toMatchObject({ basis: 'interim', determinationId: null });
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
    expect([...hospital.stored.alerts.values()].filter(({ closedAt }) => closedAt === null)).toEqual(
      expect.arrayContaining([expect.objectContaining({ kind: 'call-back' })]),
    );
  });

  it('leaves a determined case as it is when it changes nothing that was decided', async () => {
    const hospital = aHospital();
    const { incidentId } = await determined(hospital);
    const amended = await amending(hospital).execute(
      { incidentId, onRevision: 2, changes: { firstAid: [{ action: 'washed-soap-and-water' }] } },
      WEARER,
    );

    expect(amended).toMatchObject({ tightenedAtOnce: false, needsDetermination: false });
    expect(only(hospital.stored.incidents)).toMatchObject({ state: 'determined', revision: 3 });
    expect(only(hospital.stored.plans).basis).toBe('determination');
  });

  it('makes a plan when a near miss turns out to have been a breach', async () => {
    const { hospital, command } = await aCase({ kind: 'near-miss', breaches: [] });
    expect(hospital.stored.plans.size).toBe(0);
    const amended = await amending(hospital).execute(
      command({ kind: 'breach', breaches: [{ layer: 'apron', extent: 'total' }] }),
      WEARER,
    );

    expect(amended.tightenedAtOnce).toBe(true);
    expect(amended.plan?.state).toBe('running');
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
    expect([...hospital.stored.alerts.values()].map(({ kind }) => kind)).toContain('call-back');
  });

  it('keeps the plan when a breach is now called a near miss', async () => {
    const { hospital, command } = await aCase({ breaches: [{ layer: 'apron', extent: 'partial' }] });
    const amended = await amending(hospital).execute(command({ kind: 'near-miss' }), WEARER);

    expect(amended.needsDetermination).toBe(true);
    expect(amended.difference?.removed).toBeGreaterThan(0);
    expect(only(hospital.stored.plans).state).toBe('running');
  });

  it('forgets the step when the stage changes', async () => {
    const { hospital, command } = await aCase({ stage: 'removal', step: 'take-off-outer-gloves' });
    await amending(hospital).execute(command({ stage: 'patient-care' }), WEARER);

    expect(only(hospital.stored.incidents).content).toMatchObject({ stage: 'patient-care', step: null });
  });

  it('lets a nurse’s “no” stand until something makes the opposite certain', async () => {
    const { hospital, command } = await aCase();
    await amending(hospital).execute(command({ facts: { mucosaEye: 'no' } }), NURSE);
    expect(only(hospital.stored.incidents).content.facts).toMatchObject({ mucosaEye: 'no' });

    await amending(hospital).execute(command({ fluid: 'vomit' }, 2), WEARER);
    expect(only(hospital.stored.incidents).content.facts).toMatchObject({ mucosaEye: 'no' });

    const amended = await amending(hospital).execute(command(SPLASHED, 3), WEARER);
    expect(only(hospital.stored.incidents).content.facts).not.toHaveProperty('mucosaEye');
    expect(amended.barrier.routes.mucosaEye).toBe('yes');
  });

  it('takes an answer back when it is unknown after all', async () => {
    const { hospital, command } = await aCase({ facts: { recommendedPpe: 'yes' } });
    await amending(hospital).execute(command({ facts: { recommendedPpe: null } }), WEARER);

    expect(only(hospital.stored.incidents).content.facts).toEqual({});
  });

  it('links a source that is named later', async () => {
    const { hospital, command } = await aCase();
    await amending(hospital).execute(command({ source: 'Bed 4 A' }), WEARER);

    expect(only(hospital.stored.incidents).sourceId).toBe(only(hospital.stored.sources).sourceId);
  });

  it('raises no second call back while one waits', async () => {
    const { hospital, command } = await aCase({ callMe: true });
    await amending(hospital).execute(command(SPLASHED), WEARER);

    expect([...hospital.stored.alerts.values()].filter(({ kind }) => kind === 'call-back')).toHaveLength(1);
  });

  it('does not ask again about the age of what was told in time', async () => {
    const { hospital, command } = await aCase();
    hospital.now = '2027-12-01T09:00:00Z';
    await amending(hospital).execute(command(SPLASHED), WEARER);

    expect(only(hospital.stored.incidents).content.confirmedImplausible).toBe(false);
  });

  it('does not ask again about what was confirmed once', async () => {
    const hospital = aHospital();
    const occurred = { from: '2025-10-01T08:00:00Z', timeZone: 'Europe/London' };
    const { incidentId } = await reported(hospital, { occurred, confirmed: true });
    await amending(hospital).execute({ incidentId, onRevision: 1, changes: SPLASHED }, WEARER);

    expect(only(hospital.stored.incidents).content.confirmedImplausible).toBe(true);
    expect([...hospital.stored.alerts.values()].filter(({ kind }) => kind === 'implausible-entry')).toHaveLength(1);
  });

  it('asks again about a new time that is older than a year, and raises it when it is confirmed', async () => {
    const { hospital, command } = await aCase();
    const occurred = { from: '2025-10-01T08:00:00Z', timeZone: 'Europe/London' };

    expect(await refusalOf(() => amending(hospital).execute(command({ occurred }), WEARER))).toMatchObject({
      code: 'needs-confirmation',
      pointer: '/changes/occurred/from',
    });
    await amending(hospital).execute(command({ occurred, confirmed: true }), WEARER);
    expect([...hospital.stored.alerts.values()].map(({ kind }) => kind)).toContain('implausible-entry');
  });

  it('is refused on another version than the current one', async () => {
    const { hospital, command } = await aCase();
    await amending(hospital).execute(command(SPLASHED), WEARER);

    expect(await refusalOf(() => amending(hospital).execute(command({ callMe: true }), NURSE))).toMatchObject({
      code: 'stale-version',
      accepted: 'the current version, 2',
    });
    expect(hospital.stored.tellings).toHaveLength(2);
  });

  it.each<[string, AmendIncidentCommand['changes'], string, string]>([
    [
      'a layer that the ensemble lacks',
      { breaches: [{ layer: 'cape' }] },
      'unknown-layer',
      '/changes/breaches/0/layer',
    ],
    ['a near miss with a total tear', { kind: 'near-miss' }, 'contradictory-facts', '/changes/kind'],
    ['a wearer’s downward answer', { facts: { intactSkin: 'no' } }, 'contradictory-facts', '/changes/facts/intactSkin'],
    ['a fact that nobody asks', { facts: { moonPhase: 'full' } }, 'unknown-fact', '/changes/facts/moonPhase'],
    ['a source that is named', { source: 'x'.repeat(41) }, 'unacceptable-answer', '/changes/source'],
  ])('is refused with %s and writes nothing', async (_, changes, code, pointer) => {
    const { hospital, command } = await aCase();

    expect(await refusalOf(() => amending(hospital).execute(command(changes), WEARER))).toMatchObject({
      code,
      pointer,
    });
    expect(hospital.stored.tellings).toHaveLength(1);
    expect(only(hospital.stored.incidents).revision).toBe(1);
  });

  it('answers another wearer, and the buddy who typed it, as if it did not exist', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital, { wearer: { staffNumber: 'S1001' } }, BUDDY);
    const request = (id: string) => () =>
      amending(hospital).execute({ incidentId: id, onRevision: 1, changes: SPLASHED }, BUDDY);
    const absent = await refusalOf(request(v7()));

    expect(await refusalOf(request(incidentId))).toEqual(absent);
    expect(absent).toMatchObject({ code: 'not-found' });
  });

  it('is forbidden to infection control', async () => {
    const { hospital, command } = await aCase();

    expect(await refusalOf(async () => amending(hospital).execute(command(SPLASHED), INFECTION_CONTROL))).toMatchObject(
      {
        code: 'forbidden',
      },
    );
  });
});
