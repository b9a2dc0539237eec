import { describe, expect, it } from '@jest/globals';
import { loadRulebook } from '#rulebook';
import { daysBetween } from '../calendar/local-date.js';
import { joinPlans } from './join-plans.js';
import { planFollowUp } from './plan-followup.js';
import type { AgentProfile } from './profile.js';

const profiles = loadRulebook().profiles();
const plan = (profile: AgentProfile, category?: string) =>
  planFollowUp({ profile, category, exposures: ['2026-10-20T08:00:00+01:00'], timeZone: 'Europe/London' });

describe('the shipped profiles', () => {
  it('plan every category for the days, the regime and the readings that they state', () => {
    for (const profile of profiles) {
      for (const [id, category] of Object.entries(profile.categories)) {
        const { dayZero, lastDay, regime, checks } = plan(profile, id);
        const { followUp, readingsPerDay } = category;
        const readings = checks.filter(({ kind, localDate }) => kind === 'reading' && localDate > dayZero);
        expect([profile.id, id, daysBetween(dayZero, lastDay), regime, readings.length]).toEqual([
          profile.id,
          id,
          followUp ? profile.window.days : 0,
          followUp ? category.regime : 'none',
          followUp ? profile.window.days * readingsPerDay : 0,
        ]);
        expect(new Set(checks.map(({ key }) => key)).size).toBe(checks.length);
      }
    }
  });

  it('join, all of them, into one plan that keeps every threshold and lasts as long as the longest', () => {
    const all = profiles.map((profile) => plan(profile));
    const joined = joinPlans(all);
    expect(new Set(joined.thresholds.map(({ profile }) => profile))).toEqual(new Set(profiles.map(({ id }) => id)));
    expect(joined.lastDay).toBe(
      all
        .map(({ lastDay }) => lastDay)
        .sort()
        .at(-1),
    );
    expect(new Set(joined.checks.map(({ key }) => key)).size).toBe(joined.checks.length);
  });
});
