import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  credentialsOf,
  identified,
  INFECTION_CONTROL,
  MANAGER,
  NOTHING_REACHED,
  NURSE,
  NURSE_ID,
  only,
  PASSWORD,
  refusalOf,
  reported,
  SECOND_NURSE,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { Determine, type DetermineCommand } from './determine.js';

function determining(hospital: HospitalInMemory) {
  return new Determine(hospital, theRulebook(), credentialsOf(hospital));
}

async function aCase(changes: Parameters<typeof reported>[1] = {}) {
  const hospital = aHospital();
  const report = await reported(hospital, changes);
  await identified(hospital, report.incidentId);
  const command: DetermineCommand = {
    idempotencyKey: v7(),
    incidentId: report.incidentId,
    onRevision: 1,
    decision: 'confirm',
  };
  return { hospital, report, command };
}

const MILDER: Partial<DetermineCommand> = {
  decision: 'depart',
  categoryId: 'no-known-high-risk',
  reason: 'Spoken to: the inner glove was whole and dry.',
};
const SECOND = { login: 's1004', password: PASSWORD };

describe('a determination', () => {
  it('confirms the assessment, and plan and duty status follow it', async () => {
    const { hospital, command } = await aCase();
    const { outcome, body } = await determining(hospital).execute(command, NURSE);

    expect(outcome).toBe('new');
    expect(body.determination).toMatchObject({
      onRevision: 1,
      categoryId: 'high-risk',
      departs: false,
      signedBy: NURSE.accountId,
      signedByName: 'Nell Okonjo-Vale',
      secondClinician: null,
    });
    expect(body.revision).toBe(2);
    expect(only(hospital.stored.incidents)).toMatchObject({ state: 'determined', revision: 2 });
    expect(only(hospital.stored.plans)).toMatchObject({
      basis: 'determination',
      determinationId: body.determination.determinationId,
    });
    const status = hospital.stored.dutyStatuses.get(WEARER_ID);
    expect(status).toMatchObject({ setBy: 'nurse', untilDate: body.plan?.lastDay, nextReviewDate: null });
    expect(status?.work).not.toBe('not-rostered-until-decided');
  });

  it('answers the first review of the plan', async () => {
    const { hospital, command } = await aCase();
    const { body } = await determining(hospital).execute(command, NURSE);

    expect(body.plan?.checks.find(({ key }) => key === 'review/1')).toMatchObject({
      state: 'done',
      doneAt: hospital.now,
    });
  });

  it('gives all work back when the category permits it', async () => {
    const { hospital, command } = await aCase(NOTHING_REACHED);
    await determining(hospital).execute(command, NURSE);

    expect(only(hospital.stored.incidents).state).toBe('determined');
    expect(hospital.stored.dutyStatuses.size).toBe(0);
  });

  it('keeps somebody from the roster as long as another case of theirs is undecided', async () => {
    const { hospital, command } = await aCase(NOTHING_REACHED);
    await reported(hospital);
    await determining(hospital).execute(command, NURSE);

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });

  it('replays the answer to the same key', async () => {
    const { hospital, command } = await aCase();
    const first = await determining(hospital).execute(command, NURSE);
    const second = await determining(hospital).execute(command, NURSE);

    expect(second).toEqual({ outcome: 'replayed', body: first.body });
    expect(hospital.stored.determinations).toHaveLength(1);
  });

  it('is refused before the identity is confirmed', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);
    const command = { idempotencyKey: v7(), incidentId, onRevision: 1, decision: 'confirm' as const };

    expect(await refusalOf(() => determining(hospital).execute(command, NURSE))).toMatchObject({
      code: 'identity-not-confirmed',
    });
  });

  it('is refused on another version than the current one', async () => {
    const { hospital, command } = await aCase();
    await determining(hospital).execute(command, NURSE);

    expect(
      await refusalOf(() => determining(hospital).execute({ ...command, idempotencyKey: v7() }, SECOND_NURSE)),
    ).toMatchObject({ code: 'stale-version', accepted: 'the current version, 2' });
    expect(hospital.stored.determinations).toHaveLength(1);
  });

  it('is refused about one’s own case', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital, {}, NURSE);
    const command = { idempotencyKey: v7(), incidentId, onRevision: 1, decision: 'confirm' as const };

    expect(await refusalOf(() => determining(hospital).execute(command, NURSE))).toMatchObject({ code: 'own-case' });
  });

  it.each<[string, Partial<DetermineCommand>, string]>([
    ['no category', { decision: 'depart', reason: 'because' }, '/categoryId'],
    ['a category of another table', { decision: 'depart', categoryId: 'moderate', reason: 'because' }, '/categoryId'],
    ['the assessed category', { decision: 'depart', categoryId: 'high-risk', reason: 'because' }, '/categoryId'],
    ['no reason', { decision: 'depart', categoryId: 'no-known-high-risk', reason: ' ' }, '/reason'],
    ['a confirmation of another category', { categoryId: 'no-known-high-risk' }, '/categoryId'],
  ])('is refused with %s', async (_, changes, pointer) => {
    const { hospital, command } = await aCase();
    const refusal = await refusalOf(() => determining(hospital).execute({ ...command, ...changes }, NURSE));

    expect(refusal).toMatchObject({ code: 'unacceptable-answer', pointer });
    expect(refusal.accepted).toBeTruthy();
    expect(hospital.stored.determinations).toEqual([]);
  });

  describe('below the interim category', () => {
    it('takes a second clinician, whose name stands beside the first', async () => {
      const { hospital, command } = await aCase();
      const { body } = await determining(hospital).execute({ ...command, ...MILDER, secondClinician: SECOND }, NURSE);

      expect(body.determination).toMatchObject({
        categoryId: 'no-known-high-risk',
        departs: true,
        secondClinician: SECOND_NURSE.accountId,
        secondClinicianName: 'Soren Applegarth',
      });
      expect(body.difference?.onlyTightens).toBe(false);
    });

    it('is refused without one', async () => {
      const { hospital, command } = await aCase();

      expect(await refusalOf(() => determining(hospital).execute({ ...command, ...MILDER }, NURSE))).toMatchObject({
        code: 'second-clinician-needed',
        pointer: '/secondClinician',
      });
      expect(only(hospital.stored.plans).basis).toBe('interim');
    });

    it.each([
      ['a wrong password', { login: 's1004', password: 'something else' }],
      ['a login that nobody has', { login: 'nobody', password: PASSWORD }],
      ['the same nurse', { login: 's1003', password: PASSWORD }],
      ['the wearer', { login: 's1001', password: PASSWORD }],
      ['a manager', { login: 's1005', password: PASSWORD }],
    ])('is refused with %s as the second', async (_, secondClinician) => {
      const { hospital, command } = await aCase();

      expect(
        await refusalOf(() => determining(hospital).execute({ ...command, ...MILDER, secondClinician }, NURSE)),
      ).toMatchObject({ code: 'second-clinician-refused', pointer: '/secondClinician' });
      expect(hospital.stored.determinations).toEqual([]);
    });

    it('is refused with the wearer as the second, who is a nurse too', async () => {
      const hospital = aHospital();
      const { incidentId } = await reported(hospital, {}, SECOND_NURSE);
      const command = { idempotencyKey: v7(), incidentId, onRevision: 1, ...MILDER, decision: 'depart' as const };

      expect(
        await refusalOf(() => determining(hospital).execute({ ...command, secondClinician: SECOND }, NURSE)),
      ).toMatchObject({ code: 'second-clinician-refused' });
    });

    it('is refused with a second account of the same person', async () => {
      const { hospital, command } = await aCase();
      const [second] = hospital.stored.accounts.filter(({ login }) => login === 's1004');
      if (second) hospital.stored.accounts.push({ ...second, accountId: v7(), login: 'twin', personId: NURSE_ID });

      expect(
        await refusalOf(() =>
          determining(hospital).execute(
            { ...command, ...MILDER, secondClinician: { login: 'twin', password: PASSWORD } },
            NURSE,
          ),
        ),
      ).toMatchObject({ code: 'second-clinician-refused' });
    });

    it('keeps no password in the stored answer or the fingerprint', async () => {
      const { hospital, command } = await aCase();
      await determining(hospital).execute({ ...command, ...MILDER, secondClinician: SECOND }, NURSE);

      expect(JSON.stringify(hospital.stored)).not.toContain(`"${PASSWORD}"`);
    });
  });

  it('makes a plan for a near miss only when the nurse departs to a category', async () => {
    const { hospital, command } = await aCase({ kind: 'near-miss', breaches: [], ...NOTHING_REACHED });
    const { body } = await determining(hospital).execute(command, NURSE);
    expect(body.plan).toBeNull();

    const { body: departed } = await determining(hospital).execute(
      {
        ...command,
        idempotencyKey: v7(),
        onRevision: 2,
        decision: 'depart',
        categoryId: 'high-risk',
        reason: 'It was an exposure after all.',
      },
      NURSE,
    );
    expect(departed.plan).toMatchObject({ basis: 'determination', state: 'running' });
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is forbidden to %s', async (_, actor) => {
    const { hospital, command } = await aCase();

    expect(await refusalOf(() => determining(hospital).execute(command, actor))).toMatchObject({ code: 'forbidden' });
  });

  it('answers an incident that does not exist as not found', async () => {
    const { hospital, command } = await aCase();

    expect(await refusalOf(() => determining(hospital).execute({ ...command, incidentId: v7() }, NURSE))).toMatchObject(
      { code: 'not-found' },
    );
  });
});
