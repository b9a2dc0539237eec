import { describe, expect, it } from '@jest/globals';
import { assess, type Facts } from '#domain';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const CDC: Publication = {
  table: 'sars-cov-2-cdc-2020',
  body: 'CDC',
  title: 'COVID-19, healthcare personnel with potential exposure',
  year: '7 March 2020',
  // Prolonged close contact, for which Table 1 is made.
  nothingHappened: {
    sourceMasked: 'yes',
    maskWorn: 'respirator',
    eyeProtectionWorn: 'yes',
    gownAndGlovesWorn: 'yes',
    aerosolProcedure: 'no',
    distanceMetres: 1,
    contactMinutes: 15,
    extensiveBodyContact: 'no',
    secretionsUncontrolled: 'no',
  },
};
const HIGH = { category: 'High', level: 3, actions: ['active-monitoring', 'excluded-14-days'] } as const;
const MEDIUM = { category: 'Medium', level: 2, actions: ['active-monitoring', 'excluded-14-days'] } as const;
const LOW = { category: 'Low', level: 1, actions: ['self-monitoring-supervised', 'no-work-restriction'] } as const;

const ALL_MISSING: Facts = { maskWorn: 'none', eyeProtectionWorn: 'no', gownAndGlovesWorn: 'no' };
const MASK_MISSING: Facts = { maskWorn: 'none' };
const EYES_MISSING: Facts = { eyeProtectionWorn: 'no' };
const GOWN_MISSING: Facts = { gownAndGlovesWorn: 'no' };
const FACEMASK: Facts = { maskWorn: 'facemask' };
const UNMASKED: Facts = { sourceMasked: 'no' };

describeRows(CDC, [
  { row: 'K1', says: 'patient masked, everything missing', facts: ALL_MISSING, ...MEDIUM },
  { row: 'K2', says: 'patient masked, no facemask or respirator', facts: MASK_MISSING, ...MEDIUM },
  { row: 'K3', says: 'patient masked, no eye protection', facts: EYES_MISSING, ...LOW },
  { row: 'K4', says: 'patient masked, no gown or gloves', facts: GOWN_MISSING, ...LOW },
  { row: 'K5', says: 'patient masked, everything worn with a facemask', facts: FACEMASK, ...LOW },
  { row: 'K6', says: 'patient unmasked, everything missing', facts: { ...UNMASKED, ...ALL_MISSING }, ...HIGH },
  { row: 'K7', says: 'patient unmasked, no facemask or respirator', facts: { ...UNMASKED, ...MASK_MISSING }, ...HIGH },
  { row: 'K8', says: 'patient unmasked, no eye protection', facts: { ...UNMASKED, ...EYES_MISSING }, ...MEDIUM },
  { row: 'K9', says: 'patient unmasked, no gown or gloves', facts: { ...UNMASKED, ...GOWN_MISSING }, ...LOW },
  {
    row: 'K10',
    says: 'patient unmasked, everything worn with a facemask',
    facts: { ...UNMASKED, ...FACEMASK },
    ...LOW,
  },
  {
    row: 'K5 and K10',
    says: 'everything worn with a respirator, which can be no more than with a facemask,',
    facts: UNMASKED,
    ...LOW,
  },
  {
    row: 'Section II',
    says: 'being at an intubation with the eyes unprotected',
    facts: { ...EYES_MISSING, aerosolProcedure: 'yes', contactMinutes: 2 },
    ...HIGH,
  },
]);

describeOpen(CDC, [
  ['14 minutes without a procedure', { ...UNMASKED, ...MASK_MISSING, contactMinutes: 14 }, 'open-not-close-or-brief'],
  ['a distance over 2 metres', { ...UNMASKED, ...MASK_MISSING, distanceMetres: 2.1 }, 'open-not-close-or-brief'],
]);

describe('CDC: COVID-19, healthcare personnel (7 March 2020), the footnotes', () => {
  const table = book.table('sars-cov-2-cdc-2020');
  const category = (...facts: Facts[]) => assess(table, Object.assign({}, CDC.nothingHappened, ...facts)).category;
  const BODY: Facts = { extensiveBodyContact: 'yes' };
  const SECRETIONS: Facts = { secretionsUncontrolled: 'yes' };
  const PROCEDURE: Facts = { aerosolProcedure: 'yes' };

  it('(a) raises K4 and K9 by one level after extensive body contact, and no other row', () => {
    expect(category(GOWN_MISSING, BODY)).toBe('Medium');
    expect(category(UNMASKED, GOWN_MISSING, BODY)).toBe('Medium');
    expect(category(EYES_MISSING, BODY)).toBe('Low');
    expect(category(FACEMASK, BODY)).toBe('Low');
    expect(category(UNMASKED, EYES_MISSING, BODY)).toBe('Medium');
    expect(category(UNMASKED, FACEMASK, BODY)).toBe('Low');
  });

  it('(b) raises K8, K9 and K10 by one level with poorly controlled secretions, and no other row', () => {
    expect(category(UNMASKED, EYES_MISSING, SECRETIONS)).toBe('High');
    expect(category(UNMASKED, GOWN_MISSING, SECRETIONS)).toBe('Medium');
    expect(category(UNMASKED, FACEMASK, SECRETIONS)).toBe('Medium');
    expect(category(EYES_MISSING, SECRETIONS)).toBe('Low');
    expect(category(GOWN_MISSING, SECRETIONS)).toBe('Low');
    expect(category(FACEMASK, SECRETIONS)).toBe('Low');
  });

  it('(b) raises K9 and K10 at a procedure that sprays droplets', () => {
    expect(category(UNMASKED, GOWN_MISSING, PROCEDURE)).toBe('Medium');
    expect(category(UNMASKED, FACEMASK, PROCEDURE)).toBe('Medium');
  });

  it('(a) and (b) together raise once', () => {
    expect(category(UNMASKED, GOWN_MISSING, BODY, SECRETIONS)).toBe('Medium');
    expect(category(UNMASKED, GOWN_MISSING, BODY, SECRETIONS, PROCEDURE)).toBe('Medium');
  });

  it('never raise above the highest, nor what the authority left open', () => {
    expect(category(UNMASKED, ALL_MISSING, BODY, SECRETIONS)).toBe('High');
    expect(category(UNMASKED, GOWN_MISSING, BODY, { contactMinutes: 3 })).toBe('not classified by this authority');
  });

  it('(b) is remembered, and so is every result that rests on it', () => {
    expect(book.needsConfirmation('sars-cov-2-cdc-2020')).toEqual(['footnote-b']);
    const facts = { ...CDC.nothingHappened, ...UNMASKED, ...FACEMASK };
    expect(assess(table, facts).grade).toBe('second-hand');
    expect(assess(table, { ...facts, ...SECRETIONS }).grade).toBe('remembered');
  });

  it('tells a facemask from a respirator', () => {
    expect(category(UNMASKED, SECRETIONS, { maskWorn: 'respirator' })).toBe('Low');
    expect(category(UNMASKED, SECRETIONS, { maskWorn: 'facemask' })).toBe('Medium');
    expect(category(UNMASKED, SECRETIONS, { maskWorn: 'none' })).toBe('High');
  });
});
