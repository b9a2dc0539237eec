import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { addDays, daysBetween, localDateOf } from '../calendar/local-date.js';
import { compareInstants } from '../calendar/moment.js';
import { UnknownTimeZone } from '../calendar/time-zone.js';
import { aCategory, aProfile } from './followup.fixture.js';
import { planFollowUp } from './plan-followup.js';
import type { CheckKind, FollowUpPlan } from './plan.js';
import { NoExposure, UnknownCategory, UnusableBands } from './refusals.js';

const EXPOSED = '2026-10-20T08:00:00+01:00';
const plan = (changes: Partial<Parameters<typeof planFollowUp>[0]> = {}) =>
  planFollowUp({ profile: aProfile(), category: 'high', exposures: [EXPOSED], timeZone: 'Europe/London', ...changes });
const of = ({ checks }: FollowUpPlan, kind: CheckKind) => checks.filter((check) => check.kind === kind);
const only = ({ checks }: FollowUpPlan, key: string) => {
  const found = checks.filter((check) => check.key === key);
  expect(found).toHaveLength(1);
  return found[0] as FollowUpPlan['checks'][number];
};

describe('the window', () => {
  it('runs from the local date of the exposure to the end of local day N', () => {
    expect(plan()).toMatchObject({ dayZero: '2026-10-20', lastDay: '2026-11-10', timeZone: 'Europe/London' });
  });

  // high-consequence-infections.md, section 11, T6.
  it('T6: is 21 days, or 14 where the agent is CCHF, as the profile says', () => {
    const cchf = aProfile({ window: { ...aProfile().window, days: 14 } });
    expect(plan({ profile: cchf }).lastDay).toBe('2026-11-03');
  });

  // reliability.md, section 1.4: the same 21 days hold different hours.
  it.each([
    ['Europe/London', '2026-10-20T08:00:00+01:00', '2026-11-10T08:00:00+00:00', 505],
    ['America/New_York', '2026-10-20T08:00:00-04:00', '2026-11-10T08:00:00-05:00', 505],
    ['Asia/Kolkata', '2026-10-20T08:00:00+05:30', '2026-11-10T08:00:00+05:30', 504],
  ])('in %s ends on the same wall clock, %s to %s, %i hours on', (timeZone, exposedAt, sameClock, hours) => {
    const { lastDay } = plan({ timeZone, exposures: [exposedAt] });
    expect(localDateOf(sameClock, timeZone)).toBe(lastDay);
    expect((Date.parse(sameClock) - Date.parse(exposedAt)) / 3_600_000).toBe(hours);
  });

  it('takes day 0 from the zone of the person, not from UTC', () => {
    const lateEvening = ['2026-10-20T23:30:00Z'];
    expect(plan({ exposures: lateEvening }).dayZero).toBe('2026-10-21');
    expect(plan({ exposures: lateEvening, timeZone: 'America/New_York' }).dayZero).toBe('2026-10-20');
  });

  it('counts from the exposure that the profile names', () => {
    const exposures = ['2026-10-25T10:00:00Z', '2026-10-20T10:00:00Z'];
    expect(plan({ exposures }).dayZero).toBe('2026-10-25');
    const first = aProfile({ window: { ...aProfile().window, from: 'first-exposure' } });
    expect(plan({ exposures, profile: first }).dayZero).toBe('2026-10-20');
  });
});

describe('readings', () => {
  it('are two on each day of the window and the last is in the evening of day N', () => {
    const readings = of(plan(), 'reading');
    const last = readings.at(-1);
    expect(last).toMatchObject({
      key: 'reading/2026-11-10/evening',
      dueFrom: '2026-11-10T18:00:00+00:00',
      dueUntil: '2026-11-10T22:00:00+00:00',
    });
    for (let day = 1; day <= 21; day += 1) {
      expect(readings.filter(({ localDate }) => localDate === addDays('2026-10-20', day))).toHaveLength(2);
    }
  });

  it.each([
    ['2026-10-20T05:00:00+01:00', ['morning', 'evening']],
    ['2026-10-20T09:59:00+01:00', ['morning', 'evening']],
    ['2026-10-20T10:00:00+01:00', ['evening']],
    ['2026-10-20T21:59:00+01:00', ['evening']],
    ['2026-10-20T22:00:00+01:00', []],
  ])('on day 0 are only the slots that had not passed at %s', (exposedAt, slots) => {
    const dayZero = of(plan({ exposures: [exposedAt] }), 'reading').filter(
      ({ localDate }) => localDate === '2026-10-20',
    );
    expect(dayZero.map(({ slot }) => slot)).toEqual(slots);
  });

  it('asked for once a day are open all day and end in the evening of day N', () => {
    const once = aProfile({ categories: { high: aCategory({ readingsPerDay: 1 }) } });
    const readings = of(plan({ profile: once }), 'reading');
    expect(readings).toHaveLength(22);
    expect(readings.at(-1)).toMatchObject({
      slot: 'evening',
      dueFrom: '2026-11-10T06:00:00+00:00',
      dueUntil: '2026-11-10T22:00:00+00:00',
    });
  });

  it('follow the bands of the site', () => {
    const bands = { morning: { from: '07:00', until: '08:00' }, evening: { from: '19:30', until: '21:00' } };
    expect(of(plan({ bands }), 'reading').at(-1)?.dueFrom).toBe('2026-11-10T19:30:00+00:00');
  });

  it('are none where the regime is passive', () => {
    expect(of(plan({ category: 'low' }), 'reading')).toEqual([]);
  });

  it('pass over a date that the zone skipped, and say so', () => {
    const apia = plan({ exposures: ['2011-12-20T08:00:00-10:00'], timeZone: 'Pacific/Apia' });
    expect(apia).toMatchObject({ dayZero: '2011-12-20', lastDay: '2012-01-10' });
    const keys = of(apia, 'reading').map(({ key }) => key);
    expect(keys).not.toContain('reading/2011-12-30/morning');
    expect(new Set(keys).size).toBe(keys.length);
    expect(apia.cautions.join()).toContain('Pacific/Apia had no 2011-12-30');
  });

  it('end on the next day where the zone skipped day N itself', () => {
    const apia = plan({ exposures: ['2011-12-09T08:00:00-10:00'], timeZone: 'Pacific/Apia' });
    expect(apia.lastDay).toBe('2011-12-31');
    expect(of(apia, 'reading').at(-1)?.key).toBe('reading/2011-12-31/evening');
  });

  it('are exactly two on every monitored day that exists, in order and half a day apart, in every zone', () => {
    const zones = Intl.supportedValuesOf('timeZone');
    const profile = aProfile({ tests: [], prophylaxis: [] });
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc
          .integer({ min: 0, max: 66 * 365 * 24 })
          .map((hours) => new Date(63_072_000_000 + hours * 3_600_000).toISOString()),
        (timeZone, exposedAt) => {
          const { checks, dayZero, lastDay } = plan({ profile, exposures: [exposedAt], timeZone });
          const readings = checks.filter(({ kind }) => kind === 'reading');
          const days = new Set(readings.map(({ localDate }) => localDate));
          const perDay = [...days].map((date) => readings.filter(({ localDate }) => localDate === date).length);
          const full = perDay.slice(days.has(dayZero) ? 1 : 0);
          const gaps = readings
            .slice(1)
            .map(
              ({ dueFrom }, index) => (Date.parse(dueFrom) - Date.parse(readings[index]?.dueFrom ?? '')) / 3_600_000,
            );
          return (
            full.every((count) => count === 2) &&
            full.length >= daysBetween(dayZero, lastDay) - 1 &&
            readings.at(-1)?.localDate === lastDay &&
            readings.every((check) => localDateOf(check.dueFrom, timeZone) === check.localDate) &&
            // The clocks of a few zones have moved by up to three hours at once.
            gaps.every((hours) => hours >= 9 && hours <= 15) &&
            gaps.filter((hours) => hours < 11 || hours > 13).length <= 1
          );
        },
      ),
      { numRuns: 250 },
    );
  });
});

describe('the other checks', () => {
  it('ask the authority or occupational health to speak to the person each day from day 1', () => {
    const contacts = of(plan(), 'contact');
    expect(contacts).toHaveLength(21);
    expect(contacts[0]).toMatchObject({ localDate: '2026-10-21', label: 'See and speak to the person' });
  });

  it('open a test at its earliest day and close it at the end of its latest', () => {
    expect(only(plan(), 'test/ebola/cdc/pcr/3/2026-10-23')).toMatchObject({
      localDate: '2026-10-23',
      dueFrom: '2026-10-22T00:00:00+01:00',
      dueUntil: '2026-10-25T00:00:00+01:00',
    });
  });

  it('run the hours of a prophylaxis from the earliest exposure and the days from the latest', () => {
    const exposures = ['2026-10-24T10:00:00+01:00', '2026-10-25T10:00:00+00:00'];
    const interval = plan({ exposures });
    expect(interval.dayZero).toBe('2026-10-25');
    // 48 elapsed hours from the first, through the night of 25 hours.
    expect(only(interval, 'prophylaxis/ebola/cdc/antiviral/2026-10-24')).toMatchObject({
      dueFrom: '2026-10-24T10:00:00+01:00',
      dueUntil: '2026-10-26T09:00:00+00:00',
      label: 'Antiviral (until 48 hours after the earliest exposure)',
    });
  });

  it('offer support on day 0, midway and on the last day', () => {
    expect(of(plan(), 'support').map(({ localDate }) => localDate)).toEqual(['2026-10-20', '2026-10-30', '2026-11-10']);
    expect(of(plan(), 'support')[0]?.source.body).toBe('Common practice');
  });

  it('release on the day after the window', () => {
    expect(only(plan(), 'release')).toMatchObject({
      localDate: '2026-11-11',
      dueFrom: '2026-11-11T00:00:00+00:00',
      dueUntil: '2026-11-12T00:00:00+00:00',
    });
  });

  it.each([
    // Exposed on, release on, warned on.
    ['2026-10-20', 'Wednesday 2026-11-11', '2026-11-10'],
    ['2026-10-23', 'Saturday 2026-11-14', '2026-11-13'],
    ['2026-10-24', 'Sunday 2026-11-15', '2026-11-13'],
    ['2026-10-25', 'Monday 2026-11-16', '2026-11-13'],
  ])('warn of a release before a weekend: exposed on %s, release on %s, warned on %s', (exposed, release, warned) => {
    const warning = only(plan({ exposures: [`${exposed}T12:00:00Z`] }), 'review/2');
    expect(warning.localDate).toBe(warned);
    expect(warning.label).toContain(release);
  });

  it('come in the order in which they fall due, each once', () => {
    const { checks } = plan();
    for (const [index, check] of checks.entries()) {
      expect(compareInstants(check.dueFrom, check.dueUntil)).toBeLessThan(0);
      const next = checks[index + 1];
      if (next) expect(compareInstants(check.dueFrom, next.dueFrom)).toBeLessThanOrEqual(0);
    }
    expect(new Set(checks.map(({ key }) => key)).size).toBe(checks.length);
  });

  it('have the same identity when the plan is computed again for another minute of the day', () => {
    const again = plan({ exposures: ['2026-10-20T08:20:00+01:00'] });
    expect(again.checks.map(({ key }) => key)).toEqual(plan().checks.map(({ key }) => key));
  });

  it('carry the weakest grade of what they rest on', () => {
    const weak = aProfile({ categories: { high: aCategory({ grade: 'remembered' }) } });
    expect(of(plan({ profile: weak }), 'reading')[0]?.grade).toBe('remembered');
    expect(plan({ profile: weak }).cautions.join()).toContain('from memory');
    expect(plan().cautions.join()).not.toContain('from memory');
  });
});

describe('the category', () => {
  it.each([undefined, null, 'not-classified'])('is the strictest when it is %s, and the plan says so', (category) => {
    const assumed = plan({ category });
    expect(assumed).toMatchObject({ category: 'high', regime: 'direct-active' });
    expect(assumed.restrictions.map(({ work }) => work)).toEqual(['not-on-site']);
    expect(assumed.cautions.join()).toContain('the strictest that ebola/cdc@2014 has is assumed');
  });

  it('decides the restrictions, which hold for the whole window', () => {
    expect(plan({ category: 'some' }).restrictions).toEqual([
      expect.objectContaining({ work: 'no-patient-contact', from: '2026-10-20', until: '2026-11-10' }),
    ]);
  });

  it('that asks for no follow-up leaves only the review that says so', () => {
    const none = plan({ category: 'none' });
    expect(none.checks.map(({ key }) => key)).toEqual(['review/1']);
    expect(none.checks[0]?.label).toContain('2026-11-10');
    expect(none).toMatchObject({ regime: 'none', lastDay: '2026-10-20', restrictions: [] });
  });

  it('is refused when the profile has none of that name, which inherited names are not', () => {
    expect(() => plan({ category: 'severe' })).toThrow(UnknownCategory);
    expect(() => plan({ category: 'constructor' })).toThrow(UnknownCategory);
  });
});

describe('a plan', () => {
  it('puts the emergency first among its cautions and ends with the profile’s own', () => {
    const { cautions } = plan();
    expect(cautions[0]).toContain('emergency');
    expect(cautions.at(-1)).toBe('A caution of the profile.');
  });

  it('says that its guidance is superseded', () => {
    const old = aProfile({ supersededBy: 'ebola/cdc@2023' });
    expect(plan({ profile: old }).cautions.join()).toContain('superseded by ebola/cdc@2023');
  });

  it('is refused without an exposure, in an unknown zone and with bands that are no morning and evening', () => {
    expect(() => plan({ exposures: [] })).toThrow(NoExposure);
    expect(() => plan({ timeZone: 'Europe/Atlantis' })).toThrow(UnknownTimeZone);
    const upsideDown = { morning: { from: '18:00', until: '22:00' }, evening: { from: '06:00', until: '10:00' } };
    expect(() => plan({ bands: upsideDown })).toThrow(UnusableBands);
    const noClock = { morning: { from: '6:00', until: '10:00' }, evening: { from: '18:00', until: '25:00' } };
    expect(() => plan({ bands: noClock })).toThrow(UnusableBands);
  });

  it('names the exposure that is no instant', () => {
    let refusal: unknown;
    try {
      plan({ exposures: [EXPOSED, '2026-10-20'] });
    } catch (error) {
      refusal = error;
    }
    expect(refusal).toMatchObject({ code: 'unreadable-instant', pointer: '/exposures/1' });
  });
});
