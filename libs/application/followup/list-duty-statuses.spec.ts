import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { FLUIDS, TASKS } from '../records/incident.js';
import {
  ADMINISTRATOR,
  aHospital,
  BUDDY,
  determined,
  INFECTION_CONTROL,
  MANAGER,
  NOTHING_REACHED,
  NURSE,
  OTHER_UNIT_ID,
  refusalOf,
  reported,
  UNIT_ID,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import { ListDutyStatuses } from './list-duty-statuses.js';

describe('the duty list', () => {
  it('names the next review until a nurse has decided', async () => {
    const hospital = aHospital();
    await reported(hospital);
    const { lines } = await new ListDutyStatuses(hospital).execute(MANAGER);

    expect(lines).toEqual([
      {
        rosterRef: hospital.stored.people.get(WEARER_ID)?.rosterRef,
        name: 'Wren Ashdown',
        unitId: UNIT_ID,
        work: 'not-rostered-until-decided',
        words: 'Not to be rostered until occupational health has decided',
        daysRemaining: null,
        until: null,
        nextReview: '2026-10-22',
      },
    ]);
  });

  it('counts the days once a nurse has set the date, by the calendar of the site', async () => {
    const hospital = aHospital();
    await determined(hospital);
    // Half past midnight on the 26th in London, after the clocks went back: 16 days before the 11th.
    hospital.now = '2026-10-26T00:30:00Z';
    const { lines } = await new ListDutyStatuses(hospital).execute(MANAGER);

    expect(lines?.[0]).toMatchObject({
      work: 'remote-only',
      words: 'Remote work only',
      daysRemaining: 16,
      until: '2026-11-11',
      nextReview: null,
    });
  });

  it('shows a manager the own units alone, even if the store showed more', async () => {
    const hospital = aHospital();
    await reported(hospital);
    const status = hospital.stored.dutyStatuses.get(WEARER_ID);
    if (status) hospital.stored.dutyStatuses.set(WEARER_ID, { ...status, unitId: OTHER_UNIT_ID });

    expect((await new ListDutyStatuses(hospital).execute(MANAGER)).lines).toEqual([]);
    expect((await new ListDutyStatuses(hospital).execute(NURSE)).lines).toHaveLength(1);
  });

  it('shows infection control counts and nobody', async () => {
    const hospital = aHospital();
    await reported(hospital);
    await reported(hospital, {}, BUDDY);

    expect(await new ListDutyStatuses(hospital).execute(INFECTION_CONTROL)).toEqual({
      lines: null,
      counts: [
        {
          work: 'not-rostered-until-decided',
          words: 'Not to be rostered until occupational health has decided',
          count: 2,
        },
      ],
    });
  });

  it('notes the nurse who read it, person by person', async () => {
    const hospital = aHospital();
    await reported(hospital);
    await new ListDutyStatuses(hospital).execute(NURSE);

    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'duty-status.read', personId: WEARER_ID });
  });

  it('tells a manager the same whatever the report says, as long as the decision is the same', async () => {
    const seen = async (changes: Parameters<typeof reported>[1]) => {
      const hospital = aHospital();
      await reported(hospital, changes);
      return new ListDutyStatuses(hospital).execute(MANAGER);
    };
    const plain = await seen({});
    await fc.assert(
      fc.asyncProperty(
        fc.record({
          task: fc.constantFrom(...TASKS),
          fluid: fc.constantFrom(...FLUIDS),
          agent: fc.constantFrom('ebola', 'lassa', 'nipah', 'unidentified-vhf'),
          certainty: fc.constantFrom('confirmed' as const, 'suspected' as const, 'unknown' as const),
          callMe: fc.boolean(),
          account: fc.string(),
        }),
        async (changes) => {
          expect(JSON.stringify(await seen(changes))).toBe(JSON.stringify(plain));
        },
      ),
      { numRuns: 25 },
    );
  });

  it.each([
    ['a wearer', WEARER],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s', async (_, actor) => {
    const hospital = aHospital();
    await reported(hospital, NOTHING_REACHED);

    expect(await refusalOf(async () => new ListDutyStatuses(hospital).execute(actor))).toMatchObject({
      code: 'forbidden',
    });
  });
});
