import { describe, expect, it } from '@jest/globals';
import { assess } from '#domain';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const PHE: Publication = {
  table: 'mpox-phe-2018',
  body: 'Public Health England',
  title: 'Monkeypox contacts 2018 (Vaughan et al., Emerging Infectious Diseases 26(4))',
  year: '2018 (published 2020)',
  nothingHappened: {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    inhalation: 'no',
    dustRaised: 'no',
    intactSkin: 'no',
    ppeBreach: 'no',
    recommendedPpe: 'yes',
    distanceMetres: 20,
    sourceIllness: 'later',
    activity: 'none-of-these',
    touchedPatient: 'no',
    handledSoiled: 'no',
  },
};
const NO_RISK = { category: 'No risk', level: 0, actions: ['no-surveillance', 'vaccine-not-recommended'] } as const;
const LOW = { category: 'Low', level: 1, actions: ['passive-surveillance', 'vaccine-not-recommended'] } as const;
const INTERMEDIATE = {
  category: 'Intermediate',
  level: 2,
  actions: ['active-surveillance', 'vaccine-may-be-considered'],
} as const;
const HIGH = { category: 'High', level: 3, actions: ['active-surveillance', 'vaccine-recommended'] } as const;
const care = { activity: 'care', touchedPatient: 'yes', distanceMetres: 0 };

describeRows(PHE, [
  { row: 'X1', says: 'no contact', facts: {}, ...NO_RISK },
  {
    row: 'X1',
    says: 'work in a compliant laboratory',
    facts: { activity: 'laboratory', handledSoiled: 'yes' },
    ...NO_RISK,
  },
  { row: 'X2', says: 'care in appropriate protective equipment with no known breach', facts: care, ...LOW },
  {
    row: 'X3',
    says: 'no protective equipment, never within 1 metre, no fluid or material',
    facts: { activity: 'in-room', recommendedPpe: 'no', distanceMetres: '1.01', inhalation: 'yes' },
    ...LOW,
  },
  {
    row: 'X4',
    says: 'contact of healthy skin only with the patient’s rash',
    facts: { ...care, recommendedPpe: 'no', intactSkin: 'yes' },
    ...INTERMEDIATE,
  },
  {
    row: 'X4',
    says: 'soiled linen on healthy skin through a torn glove',
    facts: { activity: 'in-room', handledSoiled: 'yes', ppeBreach: 'yes', intactSkin: 'yes' },
    ...INTERMEDIATE,
  },
  {
    row: 'X5',
    says: 'within 1 metre of an ill patient without protective equipment and without direct contact',
    facts: { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 1, inhalation: 'yes' },
    ...INTERMEDIATE,
  },
  {
    row: 'X5',
    says: 'a respirator that failed within 1 metre',
    facts: { activity: 'care', ppeBreach: 'yes', inhalation: 'yes', distanceMetres: '0.5' },
    ...INTERMEDIATE,
  },
  { row: 'X6', says: 'broken skin exposed', facts: { ...care, brokenSkin: 'yes' }, ...HIGH },
  { row: 'X6', says: 'a splash in the eye', facts: { ...care, mucosaEye: 'yes' }, ...HIGH },
  { row: 'X6', says: 'a splash in the mouth', facts: { ...care, mucosaMouthNose: 'yes' }, ...HIGH },
  {
    row: 'X6',
    says: 'a sharps injury through the glove',
    facts: { ...care, percutaneous: 'yes', ppeBreach: 'yes' },
    ...HIGH,
  },
  {
    row: 'X6',
    says: 'breathing in scab dust while cleaning the room',
    facts: { activity: 'in-room', handledSoiled: 'yes', inhalation: 'yes', dustRaised: 'yes', distanceMetres: 5 },
    ...HIGH,
  },
]);

describeOpen(PHE, [
  ['a breach that reached nothing', { ...care, ppeBreach: 'yes' }, 'open-contained-breach'],
  [
    'unprotected nearness to a patient who is not ill yet',
    { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 1, sourceIllness: 'not-yet-ill' },
    'open',
  ],
  [
    'handling soiled things without protective equipment and without skin contact',
    { activity: 'in-room', recommendedPpe: 'no', distanceMetres: 5, handledSoiled: 'yes' },
    'open',
  ],
]);

describe('Public Health England: Monkeypox contacts 2018', () => {
  it('was read in every row; only the vaccine cell of the High row was cut off', () => {
    const { rules, actions } = book.table('mpox-phe-2018').table;
    expect(book.needsConfirmation('mpox-phe-2018')).toEqual([]);
    expect(['X1', 'X2', 'X3', 'X4', 'X5', 'X6'].map((id) => rules.find((rule) => rule.id === id)?.grade)).toEqual(
      Array(6).fill('read'),
    );
    expect(actions['vaccine-recommended']?.grade).toBe('remembered');
    expect(actions['vaccine-may-be-considered']?.grade).toBe('read');
  });

  it('refuses a patient who was touched from afar', () => {
    expect(() => assess(book.table('mpox-phe-2018'), { touchedPatient: 'yes', distanceMetres: 2 })).toThrow(
      /touchedPatient|distanceMetres/,
    );
  });
});
