import { describe, expect, it } from '@jest/globals';
import { aCategory, aProfile } from './followup.fixture.js';
import { planFollowUp } from './plan-followup.js';
import { nextReadingCheck, slotOf } from './reading-slots.js';
import { strictestWork } from './strictest-work.js';

const plan = (profile = aProfile()) =>
  planFollowUp({ profile, exposures: ['2026-10-20T08:00:00+01:00'], timeZone: 'Europe/London' });

describe('the slot of a reading', () => {
  it.each([
    ['in the band', '2026-10-22T06:00:00Z', 'reading/2026-10-22/morning'],
    ['late in the morning', '2026-10-22T12:30:00Z', 'reading/2026-10-22/morning'],
    ['in the afternoon', '2026-10-22T14:00:00Z', 'reading/2026-10-22/evening'],
    ['exactly between, as the one that was missed', '2026-10-22T13:00:00Z', 'reading/2026-10-22/morning'],
    ['after midnight', '2026-10-23T00:30:00Z', 'reading/2026-10-22/evening'],
    ['in a night of 25 hours, past the middle of it', '2026-10-25T02:45:00Z', 'reading/2026-10-25/morning'],
  ])('taken %s', (_when, at, key) => {
    expect(slotOf(plan(), at)?.key).toBe(key);
  });

  it('is none for a reading before the first or long after the last', () => {
    expect(slotOf(plan(), '2026-10-19T20:00:00Z')).toBeNull();
    expect(slotOf(plan(), '2026-11-11T03:00:00Z')).toBeNull();
  });

  it('asked for once a day is answered at any time of the day', () => {
    const once = plan(aProfile({ categories: { high: aCategory({ readingsPerDay: 1 }) } }));
    expect(slotOf(once, '2026-10-22T07:00:00Z')?.key).toBe('reading/2026-10-22/evening');
    expect(slotOf(once, '2026-10-22T20:00:00Z')?.key).toBe('reading/2026-10-22/evening');
  });
});

describe('the next reading', () => {
  it('is the one whose band is open or comes next', () => {
    expect(nextReadingCheck(plan(), '2026-10-22T08:00:00Z')?.key).toBe('reading/2026-10-22/morning');
    expect(nextReadingCheck(plan(), '2026-10-22T09:00:00Z')?.key).toBe('reading/2026-10-22/evening');
  });

  it('passes over what is done', () => {
    const done = new Set(['reading/2026-10-22/morning']);
    expect(nextReadingCheck(plan(), '2026-10-22T08:00:00Z', done)?.key).toBe('reading/2026-10-22/evening');
  });

  it('is none after the last', () => {
    expect(nextReadingCheck(plan(), '2026-11-10T22:00:00Z')).toBeNull();
  });
});

describe('permitted work', () => {
  it('is all where nothing is restricted, and else the strictest', () => {
    expect(strictestWork([])).toBe('all');
    expect(strictestWork([{ work: 'no-patient-contact' }, { work: 'remote-only' }, { work: 'all' }])).toBe(
      'remote-only',
    );
    expect(strictestWork([{ work: 'not-rostered-until-decided' }, { work: 'remote-only' }])).toBe(
      'not-rostered-until-decided',
    );
  });
});
