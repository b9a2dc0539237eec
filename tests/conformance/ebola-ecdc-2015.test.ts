import { describeRows, type Publication } from './published-rows.js';

const ECDC: Publication = {
  table: 'ebola-ecdc-2015',
  body: 'ECDC',
  title: 'Public health management of healthcare workers returning from Ebola areas',
  year: 'January 2015',
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
    activity: 'none-of-these',
  },
};
const C1 = {
  category: 'no direct contact with patients or fluids',
  level: 0,
  actions: ['passive-monitoring'],
} as const;
const C2 = { category: 'appropriately protected contact', level: 1, actions: ['active-monitoring'] } as const;
const C3 = {
  category: 'unprotected contact or known breach of protection',
  level: 2,
  actions: ['active-monitoring', 'no-clinical-activities', 'no-travel-abroad'],
} as const;
const C4 = {
  category: 'mucosal or parenteral direct contact with fluids',
  level: 3,
  actions: ['active-monitoring', 'no-clinical-activities', 'restrict-social-interaction', 'restrict-movement'],
} as const;

describeRows(ECDC, [
  { row: 'C1', says: 'a trainer without direct contact', facts: {}, ...C1 },
  { row: 'C1', says: 'being in the room without contact', facts: { activity: 'in-room', recommendedPpe: 'no' }, ...C1 },
  {
    row: 'C2',
    says: 'clinical work in appropriate protection',
    facts: { activity: 'care', touchedPatient: 'yes', bodyFluid: 'yes' },
    ...C2,
  },
  {
    row: 'C2',
    says: 'handling linen in appropriate protection',
    facts: { activity: 'in-room', handledSoiled: 'yes' },
    ...C2,
  },
  { row: 'C2', says: 'laboratory work in appropriate protection', facts: { activity: 'laboratory' }, ...C2 },
  {
    row: 'C3',
    says: 'caring without appropriate protection',
    facts: { activity: 'care', touchedPatient: 'yes', recommendedPpe: 'no' },
    ...C3,
  },
  {
    row: 'C3',
    says: 'a known breach of protection while caring',
    facts: { activity: 'care', touchedPatient: 'yes', ppeBreach: 'yes' },
    ...C3,
  },
  {
    row: 'C3',
    says: 'a known breach while handling fluids',
    facts: { activity: 'in-room', handledSoiled: 'yes', bodyFluid: 'yes', ppeBreach: 'yes', intactSkin: 'yes' },
    ...C3,
  },
  { row: 'C4', says: 'a needle prick', facts: { activity: 'care', percutaneous: 'yes', bodyFluid: 'yes' }, ...C4 },
  { row: 'C4', says: 'a splash in the eye', facts: { activity: 'care', mucosaEye: 'yes', bodyFluid: 'yes' }, ...C4 },
]);
