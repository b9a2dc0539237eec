import { describe, expect, it } from '@jest/globals';
import {
  ADMINISTRATOR,
  aHospital,
  BUDDY,
  determined,
  INFECTION_CONTROL,
  MANAGER,
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
import { ListIncidents } from './list-incidents.js';

function listing(hospital: HospitalInMemory) {
  return new ListIncidents(hospital, theRulebook());
}

describe('the list of incidents', () => {
  it('puts what has an open alert first, then the higher level, then the older', async () => {
    const hospital = aHospital();
    const quiet = await reported(hospital, { kind: 'near-miss', breaches: [], ...NOTHING_REACHED }, BUDDY);
    hospital.now = '2026-10-21T09:10:00Z';
    const mild = await reported(hospital, { ...NOTHING_REACHED, callMe: true });
    hospital.now = '2026-10-21T09:20:00Z';
    const grave = await reported(hospital);
    hospital.now = '2026-10-21T09:30:00Z';
    const later = await reported(hospital, {}, BUDDY);
    const { items } = await listing(hospital).execute({}, NURSE);

    expect(items.map(({ incidentId }) => incidentId)).toEqual([
      grave.incidentId,
      later.incidentId,
      mild.incidentId,
      quiet.incidentId,
    ]);
    expect(items.map(({ openAlerts }) => openAlerts)).toEqual([1, 1, 1, 0]);
    expect(items.map(({ level }) => level)).toEqual([3, 3, 1, 1]);
  });

  it('shows a nurse whom it is about and notes each of them once in the ledger', async () => {
    const hospital = aHospital();
    await reported(hospital);
    await reported(hospital);
    const before = hospital.stored.ledger.length;
    const { items } = await listing(hospital).execute({}, NURSE);

    expect(items.map(({ wearer }) => wearer.name)).toEqual(['Wren Ashdown', 'Wren Ashdown']);
    expect(hospital.stored.ledger.slice(before)).toEqual([
      expect.objectContaining({ action: 'incidents.listed', personId: WEARER_ID }),
    ]);
  });

  it('shows infection control pseudonyms and no alert', async () => {
    const hospital = aHospital();
    await reported(hospital);
    const { items } = await listing(hospital).execute({}, INFECTION_CONTROL);

    expect(items[0]).toMatchObject({ openAlerts: null, wearer: { pseudonym: 'P-0', name: null, personId: null } });
    expect(JSON.stringify(items)).not.toMatch(/Wren|S1001|07700/);
    expect(JSON.stringify(items)).not.toContain(WEARER_ID);
  });

  it('shows a wearer the own ones alone', async () => {
    const hospital = aHospital();
    const mine = await reported(hospital);
    await reported(hospital, {}, BUDDY);
    const { items } = await listing(hospital).execute({}, WEARER);

    expect(items.map(({ incidentId }) => incidentId)).toEqual([mine.incidentId]);
    expect((await listing(hospital).execute({}, { ...WEARER, personId: null })).items).toEqual([]);
  });

  it('shows the assessment while a case is open and the determination once it is decided', async () => {
    const hospital = aHospital();
    await reported(hospital);
    const [open] = (await listing(hospital).execute({}, NURSE)).items;
    expect(open).toMatchObject({ settled: false, identityConfirmed: false, state: 'open' });

    const decided = aHospital();
    await determined(decided);
    const [item] = (await listing(decided).execute({}, NURSE)).items;
    expect(item).toMatchObject({ settled: true, level: 3, identityConfirmed: true, state: 'determined' });
    expect(item?.category).toBe(decided.stored.determinations[0]?.category);
  });

  it('filters by state and goes on from page to page', async () => {
    const hospital = aHospital();
    for (let count = 0; count < 5; count += 1) await reported(hospital);
    const first = await listing(hospital).execute({ limit: 2 }, NURSE);
    const second = await listing(hospital).execute({ limit: 2, cursor: first.nextCursor ?? '' }, NURSE);
    const third = await listing(hospital).execute({ limit: 2, cursor: second.nextCursor ?? '' }, NURSE);
    const ids = [first, second, third].flatMap(({ items }) => items.map(({ incidentId }) => incidentId));

    expect(new Set(ids).size).toBe(5);
    expect(third.nextCursor).toBeNull();
    expect((await listing(hospital).execute({ state: 'released' }, NURSE)).items).toEqual([]);
  });

  it.each([0, -1, 201, 1.5])('refuses a page of %s', async (limit) => {
    expect(await refusalOf(() => listing(aHospital()).execute({ limit }, NURSE))).toMatchObject({ pointer: '/limit' });
  });

  it.each([
    ['a manager', MANAGER],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s', async (_, actor) => {
    const hospital = aHospital();
    await reported(hospital);

    expect(await refusalOf(() => listing(hospital).execute({}, actor))).toMatchObject({ code: 'forbidden' });
    expect(only(hospital.stored.incidents).state).toBe('open');
  });
});
