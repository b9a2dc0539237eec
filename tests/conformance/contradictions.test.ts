import { describe, expect, it } from '@jest/globals';
import { assess, judgeReading, planFollowUp, type Facts, type Reading, type TemperatureUnit } from '#domain';
import { book } from './published-rows.js';

/** Where published sources contradict each other, each side keeps its own answer and neither is merged into the other. */
const planOf = (profile: string) =>
  planFollowUp({ profile: book.profile(profile), exposures: ['2026-03-02T12:30:00Z'], timeZone: 'Europe/London' });
const reading = (value: string, unit: TemperatureUnit, at = '2026-03-05T08:00:00Z'): Reading => ({
  at,
  value,
  unit,
  measurementSite: 'ear',
  antipyreticTaken: 'no',
  feltFever: 'no',
  symptoms: [],
});
const alertOf = (profile: string, value: string, unit: TemperatureUnit, earlier: readonly Reading[] = []) =>
  judgeReading(reading(value, unit), planOf(profile), earlier).alert;
const categoryOf = (table: string, facts: Facts) => assess(book.table(table), facts);

describe('T1, Ebola fever: CDC 38.0 °C or 100.4 °F, UKHSA 37.5 °C', () => {
  it.each([
    ['37.4', 'Cel', null, null],
    ['37.5', 'Cel', null, 'fever'],
    ['37.9', 'Cel', null, 'fever'],
    ['38.0', 'Cel', 'fever', 'fever'],
    ['99.4', '[degF]', null, null],
    ['99.5', '[degF]', null, 'fever'],
    ['100.3', '[degF]', null, 'fever'],
    ['100.4', '[degF]', 'fever', 'fever'],
  ] as const)('%s %s is %p to CDC and %p to UKHSA', (value, unit, cdc, ukhsa) => {
    expect(alertOf('ebola/cdc@2023', value, unit)).toBe(cdc);
    expect(alertOf('ebola/ukhsa@2025', value, unit)).toBe(ukhsa);
  });
});

describe('T2, Ebola fever at the same body: over 101.5 °F until October 2014, 100.4 °F after', () => {
  it.each([
    ['100.4', null, 'fever'],
    ['101.5', null, 'fever'],
    ['101.6', 'fever', 'fever'],
  ] as const)('%s °F is %p before and %p after', (value, before, after) => {
    expect(alertOf('ebola/cdc@2014-10-14', value, '[degF]')).toBe(before);
    expect(alertOf('ebola/cdc@2014', value, '[degF]')).toBe(after);
  });
});

describe('T3, mpox fever on two versions of one page: 99.3 °F and 100.4 °F', () => {
  it.each([
    ['99.2', null, null],
    ['99.3', 'fever', null],
    ['100.3', 'fever', null],
    ['100.4', 'fever', 'fever'],
  ] as const)('%s °F is %p to the earlier and %p to the later', (value, earlier, later) => {
    expect(alertOf('mpox/cdc@2022-earlier', value, '[degF]')).toBe(earlier);
    expect(alertOf('mpox/cdc@2022', value, '[degF]')).toBe(later);
  });
});

describe('T4, avian influenza in the UK: 38 °C and 10 days in 2024, 37.8 °C and 14 days in 2026', () => {
  it.each([
    ['37.7', null, null, null],
    ['37.8', null, null, 'fever'],
    ['38.0', null, 'fever', 'fever'],
    ['38.1', 'fever', 'fever', 'fever'],
  ] as const)(
    '%s °C is %p to the flowchart, %p to the guidance of 2024, %p to that of 2026',
    (value, chart, y24, y26) => {
      expect(alertOf('avian-influenza/ukhsa@2024-02-01', value, 'Cel')).toBe(chart);
      expect(alertOf('avian-influenza/ukhsa@2024', value, 'Cel')).toBe(y24);
      expect(alertOf('avian-influenza/ukhsa@2026', value, 'Cel')).toBe(y26);
    },
  );

  it('counts 10 days and 14 days', () => {
    expect(planOf('avian-influenza/ukhsa@2024').lastDay).toBe('2026-03-12');
    expect(planOf('avian-influenza/ukhsa@2026').lastDay).toBe('2026-03-16');
  });
});

describe('T5, smallpox: two successive readings where others need one', () => {
  const morning = reading('101.0', '[degF]', '2026-03-04T19:00:00Z');
  const normal = reading('98.6', '[degF]', '2026-03-04T23:00:00Z');

  it('a first reading at 101 °F is no fever, a second one in a row is', () => {
    expect(alertOf('smallpox/state-us@2026', '101.0', '[degF]')).toBeNull();
    expect(alertOf('smallpox/state-us@2026', '101.0', '[degF]', [morning])).toBe('fever');
    expect(alertOf('smallpox/state-us@2026', '101.0', '[degF]', [morning, normal])).toBeNull();
    expect(alertOf('smallpox/state-us@2026', '100.9', '[degF]', [morning])).toBeNull();
  });

  it('one reading suffices for every other profile', () => {
    const two = book.profiles().filter(({ threshold }) => threshold.readings === 2);
    expect(two.map(({ id }) => id)).toEqual(['smallpox/state-us@2026']);
  });
});

describe('T6, viral haemorrhagic fever: 21 days, but 14 for confirmed Crimean-Congo haemorrhagic fever', () => {
  it('gives 14 days only to that agent, and only once it is confirmed', () => {
    expect(planOf('ebola/cdc@2023').lastDay).toBe('2026-03-23');
    expect(planOf('cchf/cdc@2023').lastDay).toBe('2026-03-16');
    expect(planOf('unidentified-vhf/cdc@2023').lastDay).toBe('2026-03-23');
    const rule = (certainty: string) =>
      book.defaultGoverning.find((r) => r.agent === 'cchf' && (r.certainty === certainty || r.certainty === 'any'));
    expect(rule('confirmed')?.profile).toBe('cchf/cdc@2023');
    expect(rule('suspected')?.profile).toBe('unidentified-vhf/cdc@2023');
  });
});

describe('T8, healthy skin: high-risk to CDC for viral haemorrhagic fever, Intermediate to PHE for mpox', () => {
  it('keeps each answer', () => {
    const skin = {
      intactSkin: 'yes',
      bodyFluid: 'yes',
      contactPossible: 'yes',
      ppeBreach: 'yes',
      recommendedPpe: 'yes',
    };
    const otherwiseNothing = {
      percutaneous: 'no',
      mucosaEye: 'no',
      mucosaMouthNose: 'no',
      brokenSkin: 'no',
      inhalation: 'no',
    };
    expect(categoryOf('vhf-cdc-2023', skin)).toMatchObject({ category: 'high-risk exposure', level: 3, settled: true });
    expect(categoryOf('mpox-phe-2018', { ...skin, ...otherwiseNothing })).toMatchObject({
      category: 'Intermediate',
      level: 2,
      settled: true,
    });
  });
});

describe('T9, protected care of an Ebola patient', () => {
  const care: Facts = {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    intactSkin: 'no',
    bodyFluid: 'yes',
    sourceIllness: 'later',
    ppeBreach: 'no',
    recommendedPpe: 'yes',
    touchedPatient: 'yes',
    handledSoiled: 'yes',
    activity: 'care',
  };

  it('is Some risk to CDC where transmission is widespread, and Low (but not zero) risk elsewhere', () => {
    expect(categoryOf('ebola-cdc-2014', { ...care, widespreadTransmission: 'yes' }).category).toBe('Some risk');
    expect(categoryOf('ebola-cdc-2014', { ...care, widespreadTransmission: 'no' }).category).toBe(
      'Low (but not zero) risk',
    );
  });

  it('is unsettled between the two while nobody has said where, and the worse holds', () => {
    const result = categoryOf('ebola-cdc-2014', care);
    expect(result).toMatchObject({ settled: false, category: 'Some risk' });
    expect(result.reachable).toEqual(['Some risk', 'Low (but not zero) risk']);
    expect(result.openQuestions[0]).toMatchObject({ fact: 'widespreadTransmission', settlesAlone: true });
  });

  it('is active monitoring without any limit on work to ECDC, and Category 2 to ACDP', () => {
    const ecdc = categoryOf('ebola-ecdc-2015', care);
    expect(ecdc.actions.map(({ code }) => code)).toEqual(['active-monitoring']);
    const plan = planFollowUp({
      profile: book.profile('ebola/ecdc@2015'),
      category: ecdc.categoryId,
      exposures: ['2026-03-02T12:30:00Z'],
      timeZone: 'Europe/Paris',
    });
    expect(plan.restrictions).toEqual([]);
    expect(categoryOf('vhf-uk-acdp', care).category).toBe('Low risk (Category 2)');
  });

  it('with a breach that reached the skin moves up at every authority', () => {
    const breached = {
      ...care,
      ppeBreach: 'yes',
      intactSkin: 'yes',
      widespreadTransmission: 'no',
      contactPossible: 'yes',
    };
    const { contactPossible: _, ...withoutPotential } = breached;
    expect(categoryOf('ebola-cdc-2014', withoutPotential).category).toBe('High risk');
    expect(categoryOf('ebola-ecdc-2015', withoutPotential).category).toBe(
      'unprotected contact or known breach of protection',
    );
    expect(categoryOf('vhf-uk-acdp', withoutPotential).category).toBe('High risk (Category 3)');
    expect(categoryOf('vhf-cdc-2023', breached).category).toBe('high-risk exposure');
  });
});

describe('T11, distance: 3 feet or 1 metre for Ebola and mpox, 6 feet or 2 metres for MERS and COVID-19', () => {
  const near = (table: string, facts: Facts, distanceMetres: string) =>
    categoryOf(table, { ...facts, distanceMetres }).category;
  const ebola: Facts = {
    percutaneous: 'no',
    mucosaEye: 'no',
    mucosaMouthNose: 'no',
    brokenSkin: 'no',
    intactSkin: 'no',
    bodyFluid: 'no',
    sourceIllness: 'later',
    recommendedPpe: 'no',
    ppeBreach: 'no',
    touchedPatient: 'no',
    handledSoiled: 'no',
    activity: 'in-room',
    widespreadTransmission: 'no',
    prolongedContact: 'yes',
  };
  const mpox: Facts = { ...ebola, inhalation: 'yes', dustRaised: 'no' };
  const mers: Facts = {
    caseStatus: 'confirmed',
    sourceIllness: 'later',
    aerosolProcedure: 'no',
    recommendedPpe: 'no',
    ppeBreach: 'no',
    inhalation: 'no',
    contactPossible: 'no',
    activity: 'household',
    facilityTransmission: 'no',
  };
  const covid: Facts = {
    sourceMasked: 'no',
    maskWorn: 'none',
    eyeProtectionWorn: 'yes',
    gownAndGlovesWorn: 'yes',
    aerosolProcedure: 'no',
    contactMinutes: 30,
    extensiveBodyContact: 'no',
    secretionsUncontrolled: 'no',
  };
  const OPEN = 'not classified by this authority';

  it.each([
    ['0.9144', 'Some risk', 'Intermediate', 'Some risk', 'High'],
    ['1', 'Some risk', 'Intermediate', 'Some risk', 'High'],
    ['1.2', OPEN, 'Low', 'Some risk', 'High'],
    ['1.8288', OPEN, 'Low', 'Some risk', 'High'],
    ['2', OPEN, 'Low', 'Some risk', 'High'],
    ['2.5', OPEN, 'Low', OPEN, OPEN],
  ])('at %s m: Ebola %s, mpox %s, MERS %s, COVID-19 %s', (metres, ebolaIs, mpoxIs, mersIs, covidIs) => {
    expect(near('ebola-cdc-2014', ebola, metres)).toBe(ebolaIs);
    expect(near('mpox-phe-2018', mpox, metres)).toBe(mpoxIs);
    expect(near('mers-cdc-2019', mers, metres)).toBe(mersIs);
    expect(near('sars-cov-2-cdc-2020', covid, metres)).toBe(covidIs);
  });
});

describe('T10, work of the well after an unprotected exposure', () => {
  it('goes on for SARS in 2003 and mpox in CDC’s older version, and stops for MERS and COVID-19 in 2020', () => {
    const work = (profile: string) => planOf(profile).restrictions.map((restriction) => restriction.work);
    expect(work('sars/cdc@2003')).toEqual([]);
    expect(work('mpox/cdc@2022-earlier')).toEqual([]);
    expect(work('mers/cdc@2019')).toEqual(['not-on-site']);
    expect(work('sars-cov-2/cdc@2020')).toEqual(['not-on-site']);
  });
});

describe('T15, no breach known: Some risk to CDC for MERS when the facility has spread it, Low to most', () => {
  it('keeps each answer', () => {
    const facts: Facts = {
      caseStatus: 'confirmed',
      sourceIllness: 'later',
      aerosolProcedure: 'no',
      recommendedPpe: 'yes',
      ppeBreach: 'no',
      inhalation: 'no',
      contactPossible: 'no',
      activity: 'care',
      distanceMetres: 1,
    };
    expect(categoryOf('mers-cdc-2019', { ...facts, facilityTransmission: 'yes' }).category).toBe('Some risk');
    expect(categoryOf('mers-cdc-2019', { ...facts, facilityTransmission: 'no' }).category).toBe(
      'Low (but not zero) risk',
    );
  });
});
