import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import {
  aHospital,
  BUDDY,
  BUDDY_ID,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  NURSE_ID,
  refusalOf,
  reported,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import { CompleteCheck } from './complete-check.js';
import { ListPlans } from './list-plans.js';
import { ReadPlan } from './read-plan.js';

async function aFollowUp() {
  const hospital = aHospital();
  const { plan } = await reported(hospital);
  return { hospital, planId: plan?.planId ?? '' };
}

describe('a plan', () => {
  it('is read by its wearer with the days that remain by the calendar', async () => {
    const { hospital, planId } = await aFollowUp();
    hospital.now = '2026-10-25T23:30:00Z';
    const plan = await new ReadPlan(hospital).execute({ planId }, WEARER);

    expect(plan).toMatchObject({
      planId,
      personId: WEARER_ID,
      state: 'running',
      basis: 'interim',
      dayZero: '2026-10-21',
      lastDay: '2026-11-11',
      daysRemaining: 17,
    });
    expect(plan.checks.length).toBeGreaterThan(40);
    expect(plan.checks.every(({ state }) => state === 'due')).toBe(true);
  });

  it('is read by a nurse, who is noted', async () => {
    const { hospital, planId } = await aFollowUp();
    await new ReadPlan(hospital).execute({ planId }, NURSE);

    expect(hospital.stored.ledger.at(-1)).toMatchObject({
      action: 'plan.read',
      subjectId: planId,
      personId: WEARER_ID,
    });
  });

  it('of somebody else is answered as if it did not exist', async () => {
    const { hospital, planId } = await aFollowUp();
    const read = (id: string) => refusalOf(() => new ReadPlan(hospital).execute({ planId: id }, BUDDY));

    expect(await read(planId)).toEqual(await read(v7()));
  });

  it.each([
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is forbidden to %s, one or all', async (_, actor) => {
    const { hospital, planId } = await aFollowUp();

    for (const request of [
      () => new ReadPlan(hospital).execute({ planId }, actor),
      () => new ListPlans(hospital).execute({}, actor),
    ]) {
      expect(await refusalOf(async () => request())).toMatchObject({ code: 'forbidden' });
    }
  });
});

describe('the plans', () => {
  it('of a wearer are the own ones, and nobody else’s for being named', async () => {
    const { hospital, planId } = await aFollowUp();
    await reported(hospital, {}, BUDDY);
    const list = new ListPlans(hospital);

    expect((await list.execute({}, WEARER)).map((plan) => plan.planId)).toEqual([planId]);
    expect(await list.execute({ personId: BUDDY_ID }, WEARER)).toEqual([]);
    expect(await list.execute({}, { ...WEARER, personId: null })).toEqual([]);
  });

  it('of everybody are the running ones, for a nurse, who is noted for each', async () => {
    const { hospital, planId } = await aFollowUp();
    await reported(hospital, {}, BUDDY);
    const plan = hospital.stored.plans.get(planId);
    if (plan) hospital.stored.plans.set(planId, { ...plan, state: 'released' });
    const before = hospital.stored.ledger.length;
    const running = await new ListPlans(hospital).execute({}, NURSE);

    expect(running.map(({ personId }) => personId)).toEqual([BUDDY_ID]);
    expect(hospital.stored.ledger.slice(before).map(({ personId }) => personId)).toEqual([BUDDY_ID]);
    expect((await new ListPlans(hospital).execute({ personId: WEARER_ID }, NURSE)).map(({ state }) => state)).toEqual([
      'released',
    ]);
  });
});

describe('a check', () => {
  it('that a person has to do is done when a nurse says so', async () => {
    const { hospital, planId } = await aFollowUp();
    const done = await new CompleteCheck(hospital).execute({ planId, checkKey: 'support/1' }, NURSE);

    expect(done).toEqual({ planId, checkKey: 'support/1', doneAt: hospital.now });
    expect(hospital.stored.checks.find(({ key }) => key === 'support/1')?.state).toBe('done');
    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'check.completed', personId: WEARER_ID });
  });

  it.each([
    ['reading/2026-10-21/evening', 'conflict'],
    ['release', 'conflict'],
    ['nothing', 'not-found'],
  ])('%s is not done by saying so: %s', async (checkKey, code) => {
    const { hospital, planId } = await aFollowUp();

    expect(await refusalOf(() => new CompleteCheck(hospital).execute({ planId, checkKey }, NURSE))).toMatchObject({
      code,
    });
  });

  it('is done once, by nobody about themselves, and by no wearer', async () => {
    const { hospital, planId } = await aFollowUp();
    const complete = new CompleteCheck(hospital);
    const command = { planId, checkKey: 'support/1' };

    expect(await refusalOf(async () => complete.execute(command, WEARER))).toMatchObject({ code: 'forbidden' });
    expect(await refusalOf(() => complete.execute(command, { ...NURSE, personId: WEARER_ID }))).toMatchObject({
      code: 'own-case',
    });
    await complete.execute(command, { ...NURSE, personId: NURSE_ID });
    expect(await refusalOf(() => complete.execute(command, NURSE))).toMatchObject({ code: 'conflict' });
  });
});
