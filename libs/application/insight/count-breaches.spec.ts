import { describe, expect, it } from '@jest/globals';
import {
  ADMINISTRATOR,
  aHospital,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  refusalOf,
  reported,
  WEARER,
} from '../testing/hospital.fixture.js';
import { CountBreaches } from './count-breaches.js';

const OCTOBER = { from: '2026-10-01', until: '2026-10-31' };

describe('counting breaches', () => {
  it.each([
    ['infection control', INFECTION_CONTROL],
    ['a nurse', NURSE],
  ])('tells %s how many, and what the numbers do not say', async (_, actor) => {
    const hospital = aHospital();
    const { eventId } = await reported(hospital);
    await reported(hospital, { eventId });
    const counts = await new CountBreaches(hospital).execute(OCTOBER, actor);

    expect(counts).toMatchObject({ ...OCTOBER, events: 1, incidents: 2, nearMisses: 0 });
    expect(counts.cautions.length).toBeGreaterThan(0);
  });

  it('takes one day as a period', async () => {
    const hospital = aHospital();
    await reported(hospital);

    expect(await new CountBreaches(hospital).execute({ from: '2026-10-21', until: '2026-10-21' }, NURSE)).toMatchObject(
      { incidents: 1 },
    );
  });

  it.each([
    [{ from: '2026-10-31', until: '2026-10-01' }, '/until'],
    [{ from: 'yesterday', until: '2026-10-01' }, '/from'],
    [{ from: '2026-10-01', until: '2026-02-30' }, '/until'],
  ])('refuses %o at %s', async (period, pointer) => {
    const hospital = aHospital();

    expect(await refusalOf(() => new CountBreaches(hospital).execute(period, NURSE))).toMatchObject({ pointer });
    expect(hospital.begun).toBe(0);
  });

  it.each([
    ['a wearer', WEARER],
    ['a manager', MANAGER],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s', async (_, actor) => {
    expect(await refusalOf(() => new CountBreaches(aHospital()).execute(OCTOBER, actor))).toMatchObject({
      code: 'forbidden',
    });
  });
});
