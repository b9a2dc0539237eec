import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  BUDDY,
  credentialsOf,
  determined,
  NURSE,
  only,
  PASSWORD,
  refusalOf,
  reported,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { ReleasePlan } from '../followup/release-plan.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import { ChangeSourceStatus, type ChangeSourceStatusCommand } from './change-source-status.js';

function changing(hospital: HospitalInMemory) {
  return new ChangeSourceStatus(hospital, theRulebook(), new SiteKnowledge());
}

function to(
  hospital: HospitalInMemory,
  change: Omit<ChangeSourceStatusCommand, 'sourceId' | 'onDate'>,
): ChangeSourceStatusCommand {
  return { sourceId: only(hospital.stored.sources).sourceId, onDate: '2026-10-21', ...change };
}

const dueKeys = ({ stored }: HospitalInMemory) =>
  stored.checks.filter(({ state }) => state === 'due').map(({ planId, key }) => `${planId} ${key}`);

describe('the status of a source', () => {
  it('is kept with its date and lists every linked incident with what it would change', async () => {
    const hospital = aHospital();
    const mine = await reported(hospital, { source: 'Bed 4 A', agent: 'ebola', certainty: 'suspected' });
    const other = await reported(hospital, { source: 'Bed 4 A', agent: 'ebola', certainty: 'suspected' }, BUDDY);
    await reported(hospital, { source: 'Bed 5', agent: 'ebola', certainty: 'suspected' });
    const source = [...hospital.stored.sources.values()].find(({ pseudonym }) => pseudonym === 'Bed 4 A');
    const changed = await changing(hospital).execute(
      {
        sourceId: source?.sourceId ?? '',
        status: 'confirmed',
        agent: 'mers',
        onDate: '2026-10-21',
        sampledOn: '2026-10-20',
      },
      NURSE,
    );

    expect(changed.source.statuses).toEqual([
      {
        status: 'confirmed',
        agent: 'mers',
        onDate: '2026-10-21',
        sampledOn: '2026-10-20',
        byAccount: NURSE.accountId,
        at: hospital.now,
      },
    ]);
    expect(changed.linked.map(({ incidentId }) => incidentId)).toEqual([mine.incidentId, other.incidentId]);
    for (const { difference, needsDetermination, revision } of changed.linked) {
      // MERS is watched for 14 days and not for 21: that loosens, so it waits for a signature.
      expect(difference).toMatchObject({ onlyTightens: false });
      expect(difference?.removed).toBeGreaterThan(0);
      expect(needsDetermination).toBe(true);
      expect(revision).toBe(2);
    }
  });

  it('is not entered twice by a repeat, and is again once something else was said in between', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A', agent: 'ebola', certainty: 'suspected' });
    const statuses = () => only(hospital.stored.sources).statuses.map(({ status }) => status);
    const confirm = to(hospital, { status: 'confirmed', agent: 'ebola' });
    await changing(hospital).execute(confirm, NURSE);
    const again = await changing(hospital).execute(confirm, NURSE);
    expect(statuses()).toEqual(['confirmed']);
    expect(again.source.statuses).toHaveLength(1);
    expect(again.linked).toHaveLength(1);

    await changing(hospital).execute(to(hospital, { status: 'ruled-out', agent: 'ebola' }), NURSE);
    await changing(hospital).execute(confirm, NURSE);
    expect(statuses()).toEqual(['confirmed', 'ruled-out', 'confirmed']);
  });

  it('takes nothing away from a running plan when another agent is confirmed, and adds what that one asks', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A', agent: 'ebola', certainty: 'suspected' });
    const before = dueKeys(hospital);
    const { lastDay } = only(hospital.stored.plans).plan;
    await changing(hospital).execute(to(hospital, { status: 'confirmed', agent: 'mers' }), NURSE);

    expect(dueKeys(hospital)).toEqual(expect.arrayContaining(before));
    const { plan } = only(hospital.stored.plans);
    expect(plan.lastDay).toBe(lastDay);
    expect(plan.profiles).toEqual(expect.arrayContaining(['ebola/cdc@2023', 'mers/cdc@2019']));
  });

  it('removes no check when an agent is ruled out, and says what a signature would remove', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A' });
    const before = structuredClone(hospital.stored.checks);
    const { linked } = await changing(hospital).execute(to(hospital, { status: 'ruled-out', agent: 'ebola' }), NURSE);

    expect(hospital.stored.checks).toEqual(before);
    expect(linked).toEqual([
      expect.objectContaining({ tightenedAtOnce: false, needsDetermination: true, revision: 1, state: 'open' }),
    ]);
    expect(linked[0]?.difference).toMatchObject({ removed: before.length, added: 0, onlyTightens: false });
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });

  it('leaves a plan for one agent alone when another is ruled out', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A', agent: 'ebola' });
    const { linked } = await changing(hospital).execute(to(hospital, { status: 'ruled-out', agent: 'mers' }), NURSE);

    expect(linked).toEqual([expect.objectContaining({ difference: null, needsDetermination: false })]);
  });

  it('changes nothing when it says what was known', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A', agent: 'ebola', certainty: 'confirmed' });
    const { linked } = await changing(hospital).execute(to(hospital, { status: 'confirmed', agent: 'ebola' }), NURSE);

    expect(linked).toEqual([expect.objectContaining({ difference: null, revision: 1 })]);
    expect(hospital.stored.tellings).toHaveLength(1);
  });

  async function released(hospital: HospitalInMemory): Promise<void> {
    const { planId } = await determined(hospital, { source: 'Bed 4 A', agent: 'mers', certainty: 'confirmed' });
    await new ReleasePlan(hospital, credentialsOf(hospital)).execute(
      {
        idempotencyKey: v7(),
        planId,
        early: 'The source was found not to have it.',
        secondClinician: { login: 's1004', password: PASSWORD },
      },
      NURSE,
    );
  }

  it('re-opens a released case while the window of the new agent is open', async () => {
    const hospital = aHospital();
    await released(hospital);
    expect(only(hospital.stored.plans).state).toBe('released');
    const { linked } = await changing(hospital).execute(to(hospital, { status: 'confirmed', agent: 'ebola' }), NURSE);

    expect(linked).toEqual([
      expect.objectContaining({ reopened: true, state: 'open', needsDetermination: true, tightenedAtOnce: true }),
    ]);
    expect(only(hospital.stored.plans)).toMatchObject({ state: 'running', basis: 'interim', releasedAt: null });
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });

  it('leaves a released case alone once that window is over', async () => {
    const hospital = aHospital();
    await released(hospital);
    hospital.now = '2026-12-24T09:00:00Z';
    const { linked } = await changing(hospital).execute(to(hospital, { status: 'confirmed', agent: 'ebola' }), NURSE);

    expect(linked).toEqual([expect.objectContaining({ reopened: false, state: 'released' })]);
    expect(only(hospital.stored.plans).state).toBe('released');
    expect(hospital.stored.dutyStatuses.size).toBe(0);
  });

  it.each<[string, Partial<ChangeSourceStatusCommand>, string, string]>([
    ['an agent that nobody knows', { agent: 'gremlins' }, 'unacceptable-answer', '/agent'],
    ['a day in the future', { onDate: '2026-10-22' }, 'unacceptable-answer', '/onDate'],
    ['a sample from the future', { sampledOn: '2026-10-22' }, 'unacceptable-answer', '/sampledOn'],
    ['a date that no calendar has', { onDate: '2026-02-30' }, 'unreadable-date', '/onDate'],
  ])('is refused with %s', async (_, changes, code, pointer) => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A' });

    expect(
      await refusalOf(() =>
        changing(hospital).execute({ ...to(hospital, { status: 'confirmed', agent: 'mers' }), ...changes }, NURSE),
      ),
    ).toMatchObject({ code, pointer });
    expect(only(hospital.stored.sources).statuses).toEqual([]);
  });

  it('is refused for a source that does not exist, and forbidden to a wearer', async () => {
    const hospital = aHospital();
    const command: ChangeSourceStatusCommand = {
      sourceId: v7(),
      status: 'suspected',
      agent: 'ebola',
      onDate: '2026-10-21',
    };

    expect(await refusalOf(() => changing(hospital).execute(command, NURSE))).toMatchObject({ code: 'not-found' });
    expect(await refusalOf(() => changing(hospital).execute(command, WEARER))).toMatchObject({ code: 'forbidden' });
  });
});
