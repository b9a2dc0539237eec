import { describe, expect, it } from '@jest/globals';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const ACDP: Publication = {
  table: 'vhf-uk-acdp',
  body: 'ACDP',
  title: 'Management of Hazard Group 4 viral haemorrhagic fevers',
  year: '2012-15',
  nothingHappened: {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    intactSkin: 'no',
    bodyFluid: 'no',
    ppeBreach: 'no',
    recommendedPpe: 'yes',
    touchedPatient: 'no',
    handledSoiled: 'no',
  },
};
const CATEGORY_3 = { category: 'High risk (Category 3)', level: 3, actions: ['report-temperature-daily'] } as const;
const fluid = (route: string) => ({ [route]: 'yes', bodyFluid: 'yes', touchedPatient: 'yes' });

describeRows(ACDP, [
  {
    row: 'No risk (Category 1)',
    says: 'no direct contact with patient or fluid',
    facts: {},
    category: 'No risk (Category 1)',
    level: 0,
    actions: ['reassure'],
  },
  {
    row: 'Low risk (Category 2)',
    says: 'direct contact in routine care with protective equipment as advised',
    facts: { touchedPatient: 'yes', bodyFluid: 'yes' },
    category: 'Low risk (Category 2)',
    level: 1,
    actions: ['self-monitor'],
  },
  {
    row: 'Low risk (Category 2)',
    says: 'laboratory handling with protective equipment as advised',
    facts: { handledSoiled: 'yes', bodyFluid: 'yes' },
    category: 'Low risk (Category 2)',
    level: 1,
    actions: ['self-monitor'],
  },
  { row: 'High risk (Category 3)', says: 'fluid on unprotected skin', facts: fluid('intactSkin'), ...CATEGORY_3 },
  { row: 'High risk (Category 3)', says: 'a splash in the eye', facts: fluid('mucosaEye'), ...CATEGORY_3 },
  { row: 'High risk (Category 3)', says: 'a needlestick', facts: fluid('percutaneous'), ...CATEGORY_3 },
  {
    row: 'High risk (Category 3)',
    says: 'handling specimens without protection',
    facts: { handledSoiled: 'yes', bodyFluid: 'yes', recommendedPpe: 'no' },
    ...CATEGORY_3,
  },
]);

describeOpen(ACDP, [
  [
    'touching the patient unprotected with no fluid there',
    { touchedPatient: 'yes', recommendedPpe: 'no' },
    'open-unprotected-touch',
  ],
  ['a breach in contact that reached nothing', { touchedPatient: 'yes', ppeBreach: 'yes' }, 'open-contained-breach'],
]);

describe('ACDP: Management of Hazard Group 4 viral haemorrhagic fevers (2012-15)', () => {
  it('is remembered in every row, so that it waits for a local confirmation of all of them', () => {
    const { rules, actions } = book.table('vhf-uk-acdp').table;
    expect(book.needsConfirmation('vhf-uk-acdp')).toHaveLength(rules.length);
    expect(Object.values(actions).map(({ grade }) => grade)).toEqual(['remembered', 'remembered', 'remembered']);
  });
});
