import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { differPlans } from './differ-plans.js';
import { aCategory, aProfile } from './followup.fixture.js';
import { planFollowUp } from './plan-followup.js';
import type { PlannedCheck } from './plan.js';

const plan = (changes: Partial<Parameters<typeof planFollowUp>[0]> = {}) =>
  planFollowUp({
    profile: aProfile(),
    category: 'high',
    exposures: ['2026-10-20T08:00:00+01:00'],
    timeZone: 'Europe/London',
    ...changes,
  });
const none = new Set<string>();
const keysOf = (checks: readonly PlannedCheck[]) => checks.map(({ key }) => key);

describe('the difference of two plans', () => {
  it('is empty for a plan and itself', () => {
    expect(differPlans(plan(), plan(), none)).toEqual({
      added: [],
      removed: [],
      moved: [],
      unchanged: plan().checks,
      restrictionsAdded: [],
      restrictionsRemoved: [],
      onlyTightens: true,
    });
  });

  it('holds what a stricter category adds and may take effect at once', () => {
    const tightened = differPlans(plan({ category: 'low' }), plan({ category: 'high' }), none);
    expect(tightened.added.filter(({ kind }) => kind === 'reading')).toHaveLength(44);
    expect(tightened.restrictionsAdded.map(({ code }) => code)).toEqual(['excluded']);
    expect(tightened).toMatchObject({ removed: [], restrictionsRemoved: [], onlyTightens: true });
  });

  it('holds what a milder category removes, which waits for a determination', () => {
    const eased = differPlans(plan({ category: 'high' }), plan({ category: 'low' }), none);
    expect(eased.removed.filter(({ kind }) => kind === 'reading')).toHaveLength(44);
    expect(eased.restrictionsRemoved.map(({ code }) => code)).toEqual(['excluded']);
    expect(eased.onlyTightens).toBe(false);
  });

  it('never removes what is done', () => {
    const done = new Set(['reading/2026-10-20/morning', 'reading/2026-10-20/evening', 'contact/2026-10-21/1']);
    const eased = differPlans(plan(), plan({ category: 'low' }), done);
    expect(keysOf(eased.removed).filter((key) => done.has(key))).toEqual([]);
    expect(keysOf(eased.unchanged)).toEqual(expect.arrayContaining([...done]));
  });

  it('moves a test, a deadline and the release when the exposure turns out to have been a day later', () => {
    const later = differPlans(plan(), plan({ exposures: ['2026-10-21T08:00:00+01:00'] }), none);
    expect(later.moved.map(({ from, to }) => [from.key, to.key])).toEqual(
      expect.arrayContaining([
        ['test/ebola/cdc/pcr/3/2026-10-23', 'test/ebola/cdc/pcr/3/2026-10-24'],
        ['prophylaxis/ebola/cdc/antiviral/2026-10-20', 'prophylaxis/ebola/cdc/antiviral/2026-10-21'],
        ['release', 'release'],
      ]),
    );
    expect(keysOf(later.added).filter((key) => key.startsWith('reading'))).toEqual([
      'reading/2026-11-11/morning',
      'reading/2026-11-11/evening',
    ]);
    // The readings of the first day are gone and the deadline is later: somebody must sign that.
    expect(later.onlyTightens).toBe(false);
  });

  it('moves the slots when the person changes the time zone, and calls that no easing', () => {
    const moved = differPlans(plan(), plan({ timeZone: 'Europe/Paris' }), none);
    expect(moved.moved.filter(({ from }) => from.kind === 'reading')).toHaveLength(44);
    expect(moved.removed).toEqual([]);
  });

  it('keeps a test of a new version of the same profile as the same test', () => {
    const newer = aProfile({ id: 'ebola/cdc@2015', version: '2015' });
    const difference = differPlans(plan(), plan({ profile: newer }), none);
    expect(difference).toMatchObject({ added: [], removed: [], moved: [], onlyTightens: true });
  });

  const { window, threshold } = aProfile();
  const strict = aProfile({ categories: { high: aCategory({ restrictions: [] }) } });
  it.each<[string, Partial<typeof strict>]>([
    ['an earlier end of the window', { window: { ...window, days: 20 } }],
    ['a higher threshold', { threshold: { ...threshold, value: '38.1' } }],
    ['a strict inequality', { threshold: { ...threshold, operator: '>' } }],
    ['two readings instead of one', { threshold: { ...threshold, readings: 2 } }],
    ['a felt fever that no longer counts', { threshold: { ...threshold, feltFeverCounts: false } }],
    ['a symptom that is no longer asked for', { symptoms: [] }],
    ['a later deadline', { prophylaxis: [{ ...threshold, code: 'antiviral', words: 'Antiviral', withinHours: 49 }] }],
    ['a less watched regime', { categories: { high: aCategory({ regime: 'self', restrictions: [] }) } }],
  ])('is an easing for %s, and a tightening the other way round', (_what, milder) => {
    const [harder, easier] = [plan({ profile: strict }), plan({ profile: { ...strict, ...milder } })];
    expect(differPlans(harder, easier, none).onlyTightens).toBe(false);
    expect(differPlans(easier, harder, none).onlyTightens).toBe(true);
  });

  it('sees through units when it compares thresholds', () => {
    const fahrenheit = aProfile({ threshold: { ...threshold, value: '100.4', unit: '[degF]' } });
    expect(differPlans(plan(), plan({ profile: fahrenheit }), none).onlyTightens).toBe(true);
  });
});

describe('the difference, whatever the plans', () => {
  const anyPlan = fc
    .record({
      category: fc.constantFrom('high', 'some', 'low', 'none'),
      day: fc.integer({ min: 1, max: 28 }),
      hour: fc.integer({ min: 0, max: 23 }),
      zone: fc.constantFrom('Europe/London', 'America/New_York', 'Pacific/Auckland'),
    })
    .map(({ category, day, hour, zone }) =>
      plan({ category, timeZone: zone, exposures: [new Date(Date.UTC(2026, 9, day, hour)).toISOString()] }),
    );

  it('puts each check of both in exactly one place, and never loses or removes what is done', () => {
    fc.assert(
      fc.property(anyPlan, anyPlan, fc.infiniteStream(fc.boolean()), (current, next, coin) => {
        const done = new Set(current.checks.filter(() => coin.next().value).map(({ key }) => key));
        const { added, removed, moved, unchanged } = differPlans(current, next, done);
        const was = [...removed, ...moved.map(({ from }) => from), ...unchanged].map(({ key }) => key);
        const willBe = [...added, ...moved.map(({ to }) => to), ...unchanged].map(({ key }) => key);
        expect([...was].sort()).toEqual(keysOf(current.checks).toSorted());
        // What is done stands beside the next plan's own checks.
        expect(new Set(willBe)).toEqual(new Set([...keysOf(next.checks), ...done]));
        expect(new Set(willBe).size).toBe(willBe.length);
        expect([...removed, ...moved.map(({ from }) => from)].filter(({ key }) => done.has(key))).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });

  it('is empty for a plan computed again, whatever is done', () => {
    fc.assert(
      fc.property(anyPlan, (current) => {
        const difference = differPlans(current, structuredClone(current), new Set(keysOf(current.checks).slice(0, 9)));
        expect(difference).toMatchObject({ added: [], removed: [], moved: [], onlyTightens: true });
        expect(difference.restrictionsAdded).toEqual([]);
        expect(difference.restrictionsRemoved).toEqual([]);
      }),
      { numRuns: 50 },
    );
  });
});
