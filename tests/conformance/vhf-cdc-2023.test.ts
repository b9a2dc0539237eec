import { describe, expect, it } from '@jest/globals';
import { assess, type Facts } from '#domain';
import { book, describeOpen, describeRows, type Publication } from './published-rows.js';

const NOTHING_HAPPENED: Facts = {
  percutaneous: 'no',
  mucosaEye: 'no',
  mucosaMouthNose: 'no',
  brokenSkin: 'no',
  intactSkin: 'no',
  inhalation: 'no',
  bodyFluid: 'no',
  contactPossible: 'no',
  ppeBreach: 'no',
  recommendedPpe: 'yes',
  touchedPatient: 'no',
  handledSoiled: 'no',
  activity: 'none-of-these',
};
const CDC: Publication = {
  table: 'vhf-cdc-2023',
  body: 'CDC',
  title: 'Organizations sending US personnel to VHF outbreaks',
  year: '2023-24',
  nothingHappened: NOTHING_HAPPENED,
};
const HIGH = {
  category: 'high-risk exposure',
  level: 3,
  actions: [
    'monitor-window',
    'movement-may-be-restricted',
    'monitoring-may-be-delegated',
    'quarantine-and-daily-contact',
  ],
} as const;
const fluidThrough = (route: string): Facts => ({ [route]: 'yes', bodyFluid: 'yes', contactPossible: 'yes' });

describeRows(CDC, [
  { row: 'V1', says: 'blood through the skin', facts: fluidThrough('percutaneous'), ...HIGH },
  { row: 'V1', says: 'body fluid in an eye', facts: fluidThrough('mucosaEye'), ...HIGH },
  { row: 'V1', says: 'body fluid in mouth or nose', facts: fluidThrough('mucosaMouthNose'), ...HIGH },
  { row: 'V1', says: 'body fluid on broken skin', facts: fluidThrough('brokenSkin'), ...HIGH },
  { row: 'V1', says: 'body fluid on healthy skin', facts: fluidThrough('intactSkin'), ...HIGH },
  {
    row: 'V2',
    says: 'physical contact with the case without the recommended protective equipment',
    facts: { touchedPatient: 'yes', recommendedPpe: 'no' },
    ...HIGH,
  },
  {
    row: 'V3',
    says: 'health care without the recommended protective equipment',
    facts: { activity: 'care', recommendedPpe: 'no' },
    ...HIGH,
  },
  {
    row: 'V4',
    says: 'a breach that gave the potential for contact, although no trace of it was found',
    facts: { ppeBreach: 'yes', contactPossible: 'yes', bodyFluid: 'yes' },
    ...HIGH,
  },
  {
    row: 'V5',
    says: 'handling a body without protective equipment',
    facts: { activity: 'after-death', recommendedPpe: 'no' },
    from: { body: 'CDC', title: 'Viral haemorrhagic fever exposure guidance, remembered', year: '2023-24' },
    ...HIGH,
  },
  {
    row: 'V5',
    says: 'handling soiled things without protective equipment',
    facts: { activity: 'in-room', handledSoiled: 'yes', recommendedPpe: 'no' },
    from: { body: 'CDC', title: 'Viral haemorrhagic fever exposure guidance, remembered', year: '2023-24' },
    ...HIGH,
  },
  {
    row: 'V5',
    says: 'living in the household',
    facts: { activity: 'household' },
    from: { body: 'CDC', title: 'Viral haemorrhagic fever exposure guidance, remembered', year: '2023-24' },
    ...HIGH,
  },
  {
    row: 'V6',
    says: 'care in the recommended protective equipment that held',
    facts: { activity: 'care', touchedPatient: 'yes', handledSoiled: 'yes', bodyFluid: 'yes' },
    from: { body: 'CDC', title: 'Interim guidance, risk assessment, Ebola', year: '7 October 2022' },
    category: 'no known high-risk exposure',
    level: 1,
    actions: [],
  },
]);

describeOpen(CDC, [
  ['an open airway without any contact', { inhalation: 'yes', ppeBreach: 'yes', activity: 'care' }, 'open-inhalation'],
]);

describe('CDC: Organizations sending US personnel to VHF outbreaks (2023-24), row V4', () => {
  const breach = { ...NOTHING_HAPPENED, ppeBreach: 'yes', bodyFluid: 'yes', activity: 'care', touchedPatient: 'yes' };
  const table = book.table('vhf-cdc-2023');

  it('does not read an unknown route as none: it stays open, and the worse holds meanwhile', () => {
    const result = assess(table, { ...breach, intactSkin: 'unknown', contactPossible: 'unknown' });
    expect(result).toMatchObject({ settled: false, category: 'high-risk exposure', rule: null });
    expect(result.reachable).toEqual(['high-risk exposure', 'no known high-risk exposure']);
    expect(result.openQuestions[0]).toMatchObject({ fact: 'contactPossible', settlesAlone: true });
  });

  it('is settled once somebody says that contact was possible, whether or not anything was found', () => {
    const possible = { ...breach, intactSkin: 'unknown', contactPossible: 'yes' };
    expect(assess(table, possible)).toMatchObject({ settled: true, category: 'high-risk exposure' });
    expect(assess(table, { ...possible, intactSkin: 'no' })).toMatchObject({ settled: true, rule: 'V4' });
  });

  it('does not hold for an outer glove torn over an inner glove that was looked at and found whole', () => {
    expect(assess(table, breach)).toMatchObject({ settled: true, rule: 'V6', category: 'no known high-risk exposure' });
  });

  it('does not carve out healthy skin', () => {
    expect(assess(table, { ...breach, intactSkin: 'yes', contactPossible: 'yes' }).category).toBe('high-risk exposure');
  });

  it('refuses contact without fluid, and fluid on the skin without contact, naming both answers', () => {
    expect(() => assess(table, { bodyFluid: 'no', contactPossible: 'yes' })).toThrow(/bodyFluid and contactPossible/);
    expect(() => assess(table, { intactSkin: 'yes', bodyFluid: 'yes', contactPossible: 'no' })).toThrow(
      /contactPossible/,
    );
  });

  it('with nothing answered assumes the worse', () => {
    expect(assess(table, {})).toMatchObject({ settled: false, category: 'high-risk exposure', grade: 'remembered' });
  });
});

const DEFAULT: Publication = {
  table: 'unidentified-vhf',
  body: 'CDC',
  title: 'Organizations sending US personnel to VHF outbreaks, taken as the cautious default',
  year: '2023-24',
  nothingHappened: NOTHING_HAPPENED,
};
const AS_HIGH = {
  category: 'treat as high-risk exposure',
  level: 3,
  actions: ['monitor-window', 'shorten-only-when-confirmed'],
} as const;

describeRows(DEFAULT, [
  { row: 'V7 (V1)', says: 'blood through the skin', facts: fluidThrough('percutaneous'), ...AS_HIGH },
  { row: 'V7 (V1)', says: 'body fluid in an eye', facts: fluidThrough('mucosaEye'), ...AS_HIGH },
  { row: 'V7 (V1)', says: 'body fluid on healthy skin', facts: fluidThrough('intactSkin'), ...AS_HIGH },
  {
    row: 'V7 (V2)',
    says: 'physical contact without the recommended protective equipment',
    facts: { touchedPatient: 'yes', recommendedPpe: 'no' },
    ...AS_HIGH,
  },
  {
    row: 'V7 (V3)',
    says: 'health care without the recommended protective equipment',
    facts: { activity: 'care', recommendedPpe: 'no' },
    ...AS_HIGH,
  },
  {
    row: 'V7 (V4)',
    says: 'a breach that gave the potential for contact',
    facts: { ppeBreach: 'yes', contactPossible: 'yes', bodyFluid: 'yes' },
    ...AS_HIGH,
  },
  {
    row: 'V7 (V6)',
    says: 'none of these',
    facts: { activity: 'care', touchedPatient: 'yes', bodyFluid: 'yes' },
    from: { body: 'CDC', title: 'Interim guidance, risk assessment, Ebola', year: '7 October 2022' },
    category: 'no known high-risk exposure',
    level: 1,
    actions: ['watch-window'],
  },
]);

describe('the cautious default for an infection that is not identified', () => {
  const table = book.table('unidentified-vhf');

  it('can be live anywhere at once: nothing in it is remembered, and everything says that it is derived', () => {
    expect(book.needsConfirmation('unidentified-vhf')).toEqual([]);
    expect(new Set(table.table.rules.map(({ grade }) => grade))).toEqual(new Set(['derived']));
    expect(new Set(Object.values(table.table.actions).map(({ grade }) => grade))).toEqual(new Set(['derived']));
    expect(table.table.categories.every(({ derived }) => derived === true)).toBe(true);
  });

  it('is never milder than CDC’s own table on the same answers', () => {
    const cdc = book.table('vhf-cdc-2023');
    const facts = Object.keys(NOTHING_HAPPENED).filter((fact) => fact !== 'activity');
    const activities = ['care', 'in-room', 'laboratory', 'after-death', 'household', 'none-of-these'];
    let compared = 0;
    for (let bits = 0; bits < 2 ** facts.length; bits += 1) {
      const answers = Object.fromEntries(facts.map((fact, i) => [fact, (bits >> i) & 1 ? 'yes' : 'no']));
      if (answers['bodyFluid'] === 'no' && answers['contactPossible'] === 'yes') continue;
      const reached = ['percutaneous', 'mucosaEye', 'mucosaMouthNose', 'brokenSkin', 'intactSkin'];
      const contact = answers['bodyFluid'] === 'yes' && reached.some((route) => answers[route] === 'yes');
      if (contact && answers['contactPossible'] === 'no') continue;
      const activity = activities[bits % activities.length] ?? 'care';
      const milder =
        (assess(table, { ...answers, activity }).level ?? 2.5) < (assess(cdc, { ...answers, activity }).level ?? 2.5);
      expect([answers, activity, milder]).toEqual([answers, activity, false]);
      compared += 1;
    }
    expect(compared).toBe(2080);
  });

  it('takes an open airway as an exposure, where CDC’s rows are silent', () => {
    const facts = { ...NOTHING_HAPPENED, inhalation: 'yes', ppeBreach: 'yes', activity: 'care' };
    expect(assess(table, facts)).toMatchObject({ category: 'treat as high-risk exposure', rule: 'airway-open' });
  });
});
