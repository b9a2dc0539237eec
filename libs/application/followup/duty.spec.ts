import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import type { Assessment, FollowUpPlan, PlannedRestriction } from '#domain';
import { aHospital, determined, NURSE, reported, WEARER, WEARER_ID } from '../testing/hospital.fixture.js';
import { CloseAlert } from './close-alert.js';
import { dutyStatusOf, needsDecision } from './duty.js';
import { RecordReading } from './record-reading.js';

const PERSON = { personId: WEARER_ID, rosterRef: 'roster', unitId: 'unit', timeZone: 'Europe/London' };

function planWith(...restrictions: readonly Pick<PlannedRestriction, 'work' | 'until'>[]): FollowUpPlan {
  return { restrictions } as unknown as FollowUpPlan;
}

describe('a decision is waited for', () => {
  it.each<[Pick<Assessment, 'settled' | 'level'>, boolean]>([
    [{ settled: true, level: 0 }, false],
    [{ settled: true, level: 1 }, true],
    [{ settled: true, level: 3 }, true],
    [{ settled: true, level: null }, true],
    [{ settled: false, level: 0 }, true],
    [{ settled: false, level: 3 }, true],
  ])('after %j: %s', (assessment, waits) => {
    expect(needsDecision(assessment as Assessment)).toBe(waits);
  });
});

describe('the duty status of signed plans', () => {
  const at = '2026-10-21T09:00:00Z';

  it('is the strictest restriction until the last day of any', () => {
    const status = dutyStatusOf(
      PERSON,
      [
        planWith({ work: 'no-patient-contact', until: '2026-11-11' }),
        planWith({ work: 'remote-only', until: '2026-10-30' }, { work: 'all', until: '2026-12-31' }),
      ],
      at,
    );

    expect(status).toMatchObject({
      work: 'remote-only',
      untilDate: '2026-11-11',
      nextReviewDate: null,
      setBy: 'nurse',
    });
  });

  it('is none when nothing restricts work, or nothing does any more', () => {
    expect(dutyStatusOf(PERSON, [], at)).toBeNull();
    expect(dutyStatusOf(PERSON, [planWith({ work: 'all', until: '2026-11-11' })], at)).toBeNull();
    expect(dutyStatusOf(PERSON, [planWith({ work: 'remote-only', until: '2026-10-20' })], at)).toBeNull();
  });

  it('still restricts on the last day, by the person’s own calendar', () => {
    const plan = planWith({ work: 'remote-only', until: '2026-10-21' });

    expect(dutyStatusOf(PERSON, [plan], '2026-10-21T22:59:00Z')).not.toBeNull();
    expect(dutyStatusOf(PERSON, [plan], '2026-10-21T23:01:00Z')).toBeNull();
  });
});

describe('somebody with two fevers', () => {
  it('is kept from the roster until the last of them is closed', async () => {
    const hospital = aHospital();
    const { planId } = await determined(hospital);
    hospital.now = '2026-10-22T07:30:00Z';
    const fever = async (at: string) => {
      const { body } = await new RecordReading(hospital).execute(
        { idempotencyKey: v7(), planId, at, timeZone: 'Europe/London', value: '38.6', unit: 'Cel' },
        WEARER,
      );
      return body.alertId ?? '';
    };
    const [first, second] = [await fever('2026-10-22T06:30:00Z'), await fever('2026-10-22T07:30:00Z')];
    const close = (alertId: string) =>
      new CloseAlert(hospital).execute({ alertId, outcome: 'spoken-to-well', decided: 'Well.' }, NURSE);
    await close(first);
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');

    await close(second);
    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('remote-only');
  });
});

describe('a report below any restriction', () => {
  it('leaves a status alone that an earlier report has set', async () => {
    const hospital = aHospital();
    await reported(hospital);
    await reported(hospital, { kind: 'near-miss', breaches: [] });

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)?.work).toBe('not-rostered-until-decided');
  });
});
