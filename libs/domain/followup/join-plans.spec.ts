import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { differPlans } from './differ-plans.js';
import { aCategory, aProfile } from './followup.fixture.js';
import { joinPlans } from './join-plans.js';
import { planFollowUp } from './plan-followup.js';
import type { FollowUpPlan } from './plan.js';
import { DifferentTimeZones, NoExposure } from './refusals.js';

const plan = (changes: Partial<Parameters<typeof planFollowUp>[0]> = {}) =>
  planFollowUp({
    profile: aProfile(),
    category: 'high',
    exposures: ['2026-10-20T08:00:00+01:00'],
    timeZone: 'Europe/London',
    ...changes,
  });
const keys = ({ checks }: FollowUpPlan, prefix: string) =>
  checks.map(({ key }) => key).filter((key) => key.startsWith(prefix));
const check = ({ checks }: FollowUpPlan, key: string) => {
  const found = checks.filter((candidate) => candidate.key === key);
  expect(found).toHaveLength(1);
  return found[0];
};

const base = aProfile();
const cchf = aProfile({
  id: 'cchf/cdc@2023',
  agent: 'cchf',
  window: { ...base.window, days: 14 },
  threshold: { ...base.threshold, value: '37.5' },
  symptoms: [...base.symptoms, { ...base.threshold, code: 'bleeding', words: 'bleeding' }],
  prophylaxis: [{ ...base.threshold, code: 'antiviral', words: 'Antiviral', withinHours: 24 }],
  categories: {
    exposed: aCategory({ regime: 'self', readingsPerDay: 1, contactsPerDay: 0 }),
    none: base.categories['none'] ?? aCategory(),
  },
  strictest: 'exposed',
});

describe('plans of one person join', () => {
  const joined = joinPlans([plan(), plan({ profile: cchf, category: 'exposed', exposures: ['2026-11-05T12:00:00Z'] })]);

  it('from the earliest start to the latest end', () => {
    expect(joined).toMatchObject({ dayZero: '2026-10-20', lastDay: '2026-11-19', regime: 'direct-active' });
    expect(keys(joined, 'release')).toEqual(['release']);
    expect(check(joined, 'release')?.localDate).toBe('2026-11-20');
    expect(joined.checks.filter(({ kind }) => kind === 'support').map(({ localDate }) => localDate)).toEqual([
      '2026-10-20',
      '2026-11-04',
      '2026-11-19',
    ]);
  });

  it('with the most frequent slots on each day, in the narrower band', () => {
    expect(keys(joined, 'reading/2026-11-08')).toEqual(['reading/2026-11-08/morning', 'reading/2026-11-08/evening']);
    expect(keys(joined, 'reading/2026-11-12')).toEqual(['reading/2026-11-12/evening']);
    expect(check(joined, 'reading/2026-11-08/evening')).toMatchObject({
      dueFrom: '2026-11-08T18:00:00+00:00',
      profile: 'cchf/cdc@2023 + ebola/cdc@2014',
    });
    expect(check(joined, 'reading/2026-11-12/evening')?.dueFrom).toBe('2026-11-12T06:00:00+00:00');
  });

  it('with every threshold and its profile, and the union of symptoms, tests and restrictions', () => {
    expect(joined.thresholds.map(({ value, profile }) => [value, profile])).toEqual([
      ['38.0', 'ebola/cdc@2014'],
      ['37.5', 'cchf/cdc@2023'],
    ]);
    expect(joined.symptoms.map(({ code }) => code)).toEqual(['vomiting', 'bleeding']);
    expect(keys(joined, 'test/')).toEqual(['test/ebola/cdc/pcr/3/2026-10-23', 'test/cchf/cdc/pcr/3/2026-11-08']);
    expect(joined.restrictions.map(({ work, profile }) => [work, profile])).toEqual([
      ['not-on-site', 'ebola/cdc@2014'],
      ['no-patient-contact', 'cchf/cdc@2023'],
    ]);
  });

  it('without ever merging prophylaxis of two profiles', () => {
    expect(keys(joined, 'prophylaxis/')).toEqual([
      'prophylaxis/ebola/cdc/antiviral/2026-10-20',
      'prophylaxis/cchf/cdc/antiviral/2026-11-05',
    ]);
  });

  it('keeping the tests and the prophylaxis of two exposures to the same agent apart', () => {
    const twice = joinPlans([plan(), plan({ exposures: ['2026-10-27T08:00:00Z'] })]);
    expect(keys(twice, 'test/')).toHaveLength(2);
    expect(keys(twice, 'prophylaxis/')).toHaveLength(2);
    expect(twice.restrictions).toEqual([expect.objectContaining({ from: '2026-10-20', until: '2026-11-17' })]);
  });

  it('leaving restrictions over separate days apart', () => {
    const apart = joinPlans([plan(), plan({ exposures: ['2026-12-27T08:00:00Z'] })]);
    expect(apart.restrictions.map(({ from, until }) => [from, until])).toEqual([
      ['2026-10-20', '2026-11-10'],
      ['2026-12-27', '2027-01-17'],
    ]);
  });

  it('without being lengthened by a plan that asks for nothing', () => {
    const later = plan({ profile: cchf, category: 'none', exposures: ['2026-12-24T08:00:00Z'] });
    expect(joinPlans([plan(), later])).toMatchObject({ dayZero: '2026-10-20', lastDay: '2026-11-10' });
  });

  it('only on one wall clock, and only if there is one', () => {
    expect(() => joinPlans([plan(), plan({ timeZone: 'America/New_York' })])).toThrow(DifferentTimeZones);
    expect(() => joinPlans([])).toThrow(NoExposure);
  });
});

describe('joining, whatever is joined', () => {
  const profiles = [base, cchf, aProfile({ id: 'ebola/cdc@2015', version: '2015', cautions: [] })];
  const anyPlan = fc
    .record({
      profile: fc.constantFrom(...profiles),
      category: fc.nat(),
      exposures: fc.array(
        fc.integer({ min: 0, max: 40 * 24 }).map((hours) => new Date(Date.UTC(2026, 8, 20, hours)).toISOString()),
        { minLength: 1, maxLength: 2 },
      ),
    })
    .map(({ profile, category, exposures }) => {
      const categories = Object.keys(profile.categories);
      return plan({ profile, category: categories[category % categories.length] ?? null, exposures });
    });
  /** The order of thresholds, symptoms and the like says nothing. */
  const unordered = (joined: FollowUpPlan) =>
    JSON.parse(
      JSON.stringify(joined, (_key, value: unknown) =>
        Array.isArray(value) ? [...value].sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)) : value,
      ),
    ) as unknown;

  it('does not depend on the order', () => {
    fc.assert(
      fc.property(anyPlan, anyPlan, (a, b) => {
        expect(unordered(joinPlans([a, b]))).toEqual(unordered(joinPlans([b, a])));
      }),
      { numRuns: 60 },
    );
  });

  it('does not depend on what is joined first', () => {
    fc.assert(
      fc.property(anyPlan, anyPlan, anyPlan, (a, b, c) => {
        const expected = unordered(joinPlans([a, b, c]));
        expect(unordered(joinPlans([joinPlans([a, b]), c]))).toEqual(expected);
        expect(unordered(joinPlans([a, joinPlans([b, c])]))).toEqual(expected);
      }),
      { numRuns: 60 },
    );
  });

  it('of a plan with itself, or with none, is that plan', () => {
    fc.assert(
      fc.property(anyPlan, (a) => {
        expect(unordered(joinPlans([a, a]))).toEqual(unordered(a));
        expect(unordered(joinPlans([a]))).toEqual(unordered(a));
      }),
      { numRuns: 60 },
    );
  });

  it('only ever tightens each of them', () => {
    fc.assert(
      fc.property(anyPlan, anyPlan, (a, b) => {
        const difference = differPlans(a, joinPlans([a, b]), new Set());
        expect(difference.removed).toEqual([]);
        expect(difference.restrictionsRemoved).toEqual([]);
        expect(difference.onlyTightens).toBe(true);
      }),
      { numRuns: 60 },
    );
  });
});
