import { describe, expect, it } from '@jest/globals';
import {
  ADMINISTRATOR,
  aHospital,
  DirectoryInMemory,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  PlainHasher,
  refusalOf,
  reported,
  UNIT_ID,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { CreatePerson, type CreatePersonCommand } from './create-person.js';
import { ListPeople } from './list-people.js';

function entering(hospital: HospitalInMemory) {
  return new CreatePerson(hospital, new DirectoryInMemory(hospital), new PlainHasher());
}

const PERSON: CreatePersonCommand = {
  name: ' Odalys Penrith ',
  staffNumber: ' S2001 ',
  dateOfBirth: '1988-02-29',
  unitId: UNIT_ID,
  job: 'Healthcare assistant',
};
const ACCOUNT = { login: 'odalys', password: 'five small grey pebbles', role: 'wearer' } as const;

describe('entering a person', () => {
  it('keeps identity and record apart, with a pseudonym and a roster reference that tell nothing', async () => {
    const hospital = aHospital();
    const { personId, accountId } = await entering(hospital).execute(PERSON, ADMINISTRATOR);

    expect(accountId).toBeNull();
    const person = hospital.stored.people.get(personId);
    expect(person).toMatchObject({ unitId: UNIT_ID, job: 'Healthcare assistant', timeZone: 'Europe/London' });
    // Version 4: random, not ordered by time.
    expect(person?.rosterRef).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4/);
    expect(person?.pseudonym).not.toMatch(/Odalys|Penrith|S2001/);
    expect(hospital.stored.identities.get(personId)).toEqual({
      name: 'Odalys Penrith',
      staffNumber: 'S2001',
      dateOfBirth: '1988-02-29',
      telephone: null,
      email: null,
    });
    expect(JSON.stringify(hospital.stored.ledger)).not.toMatch(/Odalys|S2001|1988/);
  });

  it('adds an account whose password is kept as a hash alone', async () => {
    const hospital = aHospital();
    const { personId, accountId } = await entering(hospital).execute({ ...PERSON, account: ACCOUNT }, ADMINISTRATOR);

    expect(hospital.stored.accounts.at(-1)).toEqual({
      accountId,
      siteId: ADMINISTRATOR.siteId,
      personId,
      role: 'wearer',
      login: 'odalys',
      unitIds: [],
      passwordHash: 'hash of five small grey pebbles',
    });
  });

  it.each<[string, Partial<CreatePersonCommand>, string, string]>([
    ['a unit of another site', { unitId: WEARER_ID }, 'unacceptable-answer', '/unitId'],
    ['a staff number that somebody has', { staffNumber: 'S1001' }, 'conflict', '/staffNumber'],
    ['a date that no calendar has', { dateOfBirth: '1987-02-29' }, 'unreadable-date', '/dateOfBirth'],
    ['an unknown zone', { timeZone: 'Europe/Atlantis' }, 'unknown-time-zone', '/timeZone'],
    [
      'a password of 14 characters',
      { account: { ...ACCOUNT, password: 'x'.repeat(14) } },
      'unacceptable-answer',
      '/account/password',
    ],
    [
      'a password without an end',
      { account: { ...ACCOUNT, password: 'x'.repeat(257) } },
      'unacceptable-answer',
      '/account/password',
    ],
    ['a login that is taken', { account: { ...ACCOUNT, login: 's1001' } }, 'conflict', '/account/login'],
    [
      'a manager of another site’s unit',
      { account: { ...ACCOUNT, role: 'manager', unitIds: [UNIT_ID, WEARER_ID] } },
      'unacceptable-answer',
      '/account/unitIds/1',
    ],
  ])('is refused with %s, and nothing is kept', async (_, changes, code, pointer) => {
    const hospital = aHospital();
    const before = hospital.stored.people.size;

    expect(await refusalOf(() => entering(hospital).execute({ ...PERSON, ...changes }, ADMINISTRATOR))).toMatchObject({
      code,
      pointer,
    });
    expect(hospital.stored.people.size).toBe(before);
  });

  it('takes a pass phrase of any characters', async () => {
    const hospital = aHospital();
    const password = 'пять серых камней 🪨';
    const { accountId } = await entering(hospital).execute(
      { ...PERSON, account: { ...ACCOUNT, password } },
      ADMINISTRATOR,
    );

    expect(accountId).not.toBeNull();
  });

  it.each([
    ['a nurse', NURSE],
    ['a wearer', WEARER],
    ['a manager', MANAGER],
  ])('is forbidden to %s', async (_, actor) => {
    expect(await refusalOf(() => entering(aHospital()).execute(PERSON, actor))).toMatchObject({ code: 'forbidden' });
  });
});

describe('finding people', () => {
  it('gives a nurse the one who has this staff number, and notes it', async () => {
    const hospital = aHospital();
    const { people } = await new ListPeople(hospital).execute({ staffNumber: ' S1001 ' }, NURSE);

    expect(people).toEqual([expect.objectContaining({ personId: WEARER_ID, name: 'Wren Ashdown', unitId: UNIT_ID })]);
    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'person.read', personId: WEARER_ID });
    expect((await new ListPeople(hospital).execute({ staffNumber: 'S100' }, NURSE)).people).toEqual([]);
  });

  it('lets nobody browse', async () => {
    expect(await refusalOf(() => new ListPeople(aHospital()).execute({}, NURSE))).toMatchObject({
      pointer: '/staffNumber',
    });
  });

  it('gives an administrator accounts, without an identity or a clinical fact', async () => {
    const hospital = aHospital();
    await reported(hospital);
    const list = await new ListPeople(hospital).execute({}, ADMINISTRATOR);

    expect(list.people).toEqual([]);
    expect(Object.keys(list.accounts[0] ?? {}).sort()).toEqual([
      'accountId',
      'login',
      'personId',
      'role',
      'siteId',
      'unitIds',
    ]);
    expect(JSON.stringify(list)).not.toMatch(/Wren|hash of/);
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
  ])('is forbidden to %s', async (_, actor) => {
    expect(await refusalOf(() => new ListPeople(aHospital()).execute({ staffNumber: 'S1001' }, actor))).toMatchObject({
      code: 'forbidden',
    });
  });
});
