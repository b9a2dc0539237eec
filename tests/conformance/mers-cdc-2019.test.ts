import { describe, expect, it } from '@jest/globals';
import { assess } from '#domain';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const CDC: Publication = {
  table: 'mers-cdc-2019',
  body: 'CDC',
  title: 'MERS epidemiologic risk factors',
  year: '2 August 2019',
  nothingHappened: {
    caseStatus: 'confirmed',
    sourceIllness: 'later',
    aerosolProcedure: 'no',
    recommendedPpe: 'yes',
    ppeBreach: 'no',
    inhalation: 'no',
    contactPossible: 'no',
    activity: 'none-of-these',
    distanceMetres: 20,
    facilityTransmission: 'no',
  },
};
const HIGH = { category: 'High risk', level: 3, actions: ['active-monitoring', 'excluded-14-days'] } as const;
const SOME = { category: 'Some risk', level: 2, actions: ['active-monitoring', 'excluded-14-days'] } as const;
const LOW = { category: 'Low (but not zero) risk', level: 1 } as const;

describeRows(CDC, [
  {
    row: 'M1',
    says: 'doing a high-aerosol procedure on a confirmed case without the recommended protective equipment',
    facts: { aerosolProcedure: 'yes', recommendedPpe: 'no', activity: 'care', distanceMetres: 0, inhalation: 'yes' },
    ...HIGH,
  },
  {
    row: 'M1',
    says: 'a respirator that lost its seal at a high-aerosol procedure',
    facts: { aerosolProcedure: 'yes', ppeBreach: 'yes', inhalation: 'yes', activity: 'care', distanceMetres: 1 },
    ...HIGH,
  },
  {
    row: 'M2',
    says: 'close contact, within 6 feet, with an ill confirmed case without protective equipment',
    facts: { recommendedPpe: 'no', activity: 'household', distanceMetres: '1.8288' },
    ...SOME,
  },
  {
    row: 'M3',
    says: 'a health worker’s unprotected exposure without such a procedure',
    facts: { recommendedPpe: 'no', activity: 'care', distanceMetres: 1 },
    ...SOME,
  },
  {
    row: 'M3',
    says: 'a breach through which fluid could reach the body',
    facts: { ppeBreach: 'yes', contactPossible: 'yes', activity: 'care', distanceMetres: 0 },
    ...SOME,
  },
  {
    row: 'M4',
    says: 'no known unprotected exposure, but spread in the facility without an identified breach',
    facts: { facilityTransmission: 'yes', activity: 'care', distanceMetres: 0 },
    ...SOME,
    actions: ['active-monitoring'],
  },
  {
    row: 'M5',
    says: 'processing samples in a laboratory without protective equipment',
    facts: { activity: 'laboratory', recommendedPpe: 'no' },
    ...LOW,
    actions: ['self-monitoring'],
  },
  {
    row: 'M6',
    says: 'direct care of an ill confirmed case in the recommended protective equipment',
    facts: { activity: 'care', distanceMetres: 0 },
    ...LOW,
    actions: ['active-monitoring'],
  },
  {
    row: 'M6',
    says: 'other contact with an ill confirmed case in the recommended protective equipment',
    facts: { activity: 'in-room', distanceMetres: 3 },
    ...LOW,
    actions: ['self-monitoring'],
  },
]);

describeOpen(CDC, [
  [
    'a high-aerosol procedure without protection on a case that is only suspected',
    { caseStatus: 'suspected', aerosolProcedure: 'yes', recommendedPpe: 'no', activity: 'care' },
    'open-aerosol-unconfirmed',
  ],
  ['a breach that reached nothing', { ppeBreach: 'yes', activity: 'care', distanceMetres: 0 }, 'open-contained-breach'],
  ['protected care of a case that is only suspected', { caseStatus: 'suspected', activity: 'care' }, 'open'],
]);

describe('CDC: MERS epidemiologic risk factors (2 August 2019)', () => {
  const rule = (id: string) => book.table('mers-cdc-2019').table.rules.find((candidate) => candidate.id === id);

  it('has one remembered row, the end of M6, and takes the exclusion from work from memory too', () => {
    expect(book.needsConfirmation('mers-cdc-2019')).toEqual(['M6-otherwise']);
    expect(['M1', 'M2', 'M3', 'M4', 'M5', 'M6'].map((id) => rule(id)?.grade)).toEqual(Array(6).fill('read'));
    expect(book.table('mers-cdc-2019').table.actions['excluded-14-days']?.grade).toBe('remembered');
  });

  it('takes 6 feet at its metric figure, 2 metres', () => {
    const at = (distanceMetres: number) =>
      assess(book.table('mers-cdc-2019'), {
        ...CDC.nothingHappened,
        recommendedPpe: 'no',
        activity: 'aircraft',
        distanceMetres,
      }).categoryId;
    expect([at(1.83), at(2), at(2.01)]).toEqual(['some', 'some', 'not-classified']);
  });
});
