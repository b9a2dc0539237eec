import { describe, expect, it } from '@jest/globals';
import type { FollowUpPlan } from '../followup/plan.js';
import { judgeReading } from './judge-reading.js';
import type { Reading } from './reading.js';

type Threshold = FollowUpPlan['thresholds'][number];

const evidence = { grade: 'second-hand', sources: [{ body: 'Specimen', title: 'Specimen', year: '2026' }] } as const;

const threshold = (changes: Partial<Threshold> = {}): Threshold => ({
  ...evidence,
  value: '38.0',
  unit: 'Cel',
  operator: '>=',
  readings: 1,
  feltFeverCounts: false,
  profile: 'ebola/cdc@2014',
  ...changes,
});

const plan = (...thresholds: Threshold[]) => ({
  thresholds,
  symptoms: [
    { ...evidence, code: 'vomiting', words: 'vomiting' },
    { ...evidence, code: 'severe-headache', words: 'severe headache' },
  ],
});

const reading = (value: string | null, changes: Partial<Reading> = {}): Reading => ({
  at: '2026-11-25T07:30:00Z',
  value,
  unit: 'Cel',
  measurementSite: 'ear',
  antipyreticTaken: 'no',
  feltFever: 'no',
  symptoms: [],
  ...changes,
});

describe('a reading', () => {
  it('that is low, with every question answered, is reassuring and raises nothing', () => {
    expect(judgeReading(reading('36.6'), plan(threshold()), [])).toEqual({
      alert: null,
      reasons: [],
      reassuring: true,
      plausibility: 'plausible',
    });
  });

  it('at a ">=" threshold is a fever, in either unit', () => {
    for (const [value, unit] of [
      ['38.0', 'Cel'],
      ['100.4', '[degF]'],
    ] as const) {
      const judgement = judgeReading(reading(value, { unit }), plan(threshold()), []);
      expect(judgement).toMatchObject({ alert: 'fever', reassuring: false });
      expect(judgement.reasons).toEqual(['The temperature is at or over 38.0 °C (ebola/cdc@2014).']);
    }
    expect(judgeReading(reading('100.3', { unit: '[degF]' }), plan(threshold()), []).alert).toBeNull();
  });

  it('at a ">" threshold is no fever, and just over it is one', () => {
    const strictly = plan(threshold({ operator: '>' }));
    expect(judgeReading(reading('38.0'), strictly, []).alert).toBeNull();
    expect(judgeReading(reading('100.4', { unit: '[degF]' }), strictly, []).alert).toBeNull();
    expect(judgeReading(reading('38.01'), strictly, []).alert).toBe('fever');
  });
});

// high-consequence-infections.md, section 11: what authorities contradict each other in, as data.
describe('the contradictions between authorities', () => {
  const fires = (value: string, unit: 'Cel' | '[degF]', rule: Partial<Threshold>) =>
    judgeReading(reading(value, { unit }), plan(threshold(rule)), []).alert === 'fever';

  it('T1: 37.5 °C is an Ebola fever for UKHSA and none for CDC', () => {
    expect(fires('37.5', 'Cel', { value: '37.5' })).toBe(true);
    expect(fires('37.5', 'Cel', { value: '38.0' })).toBe(false);
  });

  it('T2: 101.0 °F was no fever for CDC until October 2014 (> 101.5 °F) and is one after (>= 100.4 °F)', () => {
    expect(fires('101.0', '[degF]', { value: '101.5', unit: '[degF]', operator: '>' })).toBe(false);
    expect(fires('101.5', '[degF]', { value: '101.5', unit: '[degF]', operator: '>' })).toBe(false);
    expect(fires('101.0', '[degF]', { value: '100.4', unit: '[degF]' })).toBe(true);
  });

  it('T3: 99.5 °F is an mpox fever by the earlier version of the page and none by the later', () => {
    expect(fires('99.5', '[degF]', { value: '99.3', unit: '[degF]' })).toBe(true);
    expect(fires('99.5', '[degF]', { value: '100.4', unit: '[degF]' })).toBe(false);
  });

  it('T4: 37.8 °C is an avian-influenza fever by UKHSA 2026 and none by UKHSA 2024', () => {
    expect(fires('37.8', 'Cel', { value: '37.8' })).toBe(true);
    expect(fires('37.8', 'Cel', { value: '38', operator: '>=' })).toBe(false);
  });

  it('T5: smallpox needs 101 °F on two successive readings where others need one', () => {
    expect(fires('101', '[degF]', { value: '101', unit: '[degF]', readings: 2 })).toBe(false);
    expect(fires('101', '[degF]', { value: '101', unit: '[degF]', readings: 1 })).toBe(true);
  });
});

describe('a rule of two readings', () => {
  const twice = plan(threshold({ value: '101', unit: '[degF]', readings: 2, profile: 'smallpox/state-us@2004' }));
  const hot = (at: string, value = '38.5') => reading(value, { at });

  it('is not met by one, which is yet not reassuring', () => {
    const judgement = judgeReading(hot('2026-11-25T07:30:00Z'), twice, []);
    expect(judgement).toMatchObject({ alert: null, reassuring: false });
    expect(judgement.reasons.join()).toContain('a second one in succession is a fever');
  });

  it('is met by two in succession, in whatever order the others are handed in', () => {
    const others = [
      hot('2026-11-24T19:00:00Z'),
      hot('2026-11-23T19:00:00Z', '36.6'),
      hot('2026-11-24T07:00:00Z', '36.6'),
    ];
    expect(judgeReading(hot('2026-11-25T07:30:00Z'), twice, others).alert).toBe('fever');
  });

  it('is not met when a low one lies between', () => {
    const others = [hot('2026-11-24T07:00:00Z'), hot('2026-11-24T19:00:00Z', '36.6')];
    expect(judgeReading(hot('2026-11-25T07:30:00Z'), twice, others).alert).toBeNull();
  });

  it('passes over an entry without a temperature', () => {
    const others = [hot('2026-11-24T07:00:00Z'), reading(null, { at: '2026-11-24T19:00:00Z' })];
    expect(judgeReading(hot('2026-11-25T07:30:00Z'), twice, others).alert).toBe('fever');
  });

  it('is met when the earlier of the two is entered late', () => {
    expect(judgeReading(hot('2026-11-24T19:00:00Z'), twice, [hot('2026-11-25T07:30:00Z')]).alert).toBe('fever');
  });

  it('is not met by the same reading handed in again', () => {
    expect(judgeReading(hot('2026-11-25T07:30:00Z'), twice, [hot('2026-11-25T07:30:00Z')]).alert).toBeNull();
  });
});

describe('several thresholds', () => {
  it('make a fever when any one is met, each named with its profile', () => {
    const both = plan(threshold(), threshold({ value: '37.5', profile: 'ebola/ukhsa@2025' }));
    expect(judgeReading(reading('37.6'), both, []).reasons).toEqual([
      'The temperature is at or over 37.5 °C (ebola/ukhsa@2025).',
    ]);
    expect(judgeReading(reading('38.0'), both, []).reasons).toHaveLength(2);
  });
});

describe('a felt fever', () => {
  it('is a fever where the authority counts it, at any temperature and without one', () => {
    const counted = plan(threshold({ feltFeverCounts: true }));
    expect(judgeReading(reading('36.6', { feltFever: 'yes' }), counted, []).alert).toBe('fever');
    expect(judgeReading(reading(null, { feltFever: 'yes' }), counted, []).alert).toBe('fever');
  });

  it('is put to a human as a symptom where it is not counted', () => {
    expect(judgeReading(reading('36.6', { feltFever: 'yes' }), plan(threshold()), []).alert).toBe('symptom');
  });

  it('that nobody was asked about leaves the reading without reassurance', () => {
    expect(judgeReading(reading('36.6', { feltFever: 'unknown' }), plan(threshold()), [])).toMatchObject({
      alert: null,
      reassuring: false,
    });
  });
});

describe('symptoms', () => {
  it('of the plan raise an alert that names them', () => {
    const judgement = judgeReading(reading('36.6', { symptoms: ['vomiting'] }), plan(threshold()), []);
    expect(judgement).toMatchObject({ alert: 'symptom', reassuring: false });
    expect(judgement.reasons).toEqual(['A symptom that this plan asks about: vomiting.']);
  });

  it('are told beside a fever, which is the alert', () => {
    const judgement = judgeReading(reading('38.4', { symptoms: ['vomiting'] }), plan(threshold()), []);
    expect(judgement.alert).toBe('fever');
    expect(judgement.reasons).toHaveLength(2);
  });

  it('that the plan does not ask about raise nothing and take the reassurance away', () => {
    const judgement = judgeReading(reading('36.6', { symptoms: ['runny-nose'] }), plan(threshold()), []);
    expect(judgement).toMatchObject({ alert: null, reassuring: false });
  });
});

describe('an antipyretic', () => {
  it('makes a low reading count as taken and not as reassuring', () => {
    const judgement = judgeReading(reading('36.6', { antipyreticTaken: 'yes' }), plan(threshold()), []);
    expect(judgement).toMatchObject({ alert: null, reassuring: false });
  });

  it('does so for six hours after the reading that named it', () => {
    const dosed = reading('36.9', { at: '2026-11-25T07:30:00Z', antipyreticTaken: 'yes' });
    const later = (at: string) => judgeReading(reading('36.6', { at }), plan(threshold()), [dosed]).reassuring;
    expect(later('2026-11-25T13:29:00Z')).toBe(false);
    expect(later('2026-11-25T13:30:00Z')).toBe(true);
  });

  it('that nobody was asked about takes the reassurance away too', () => {
    expect(judgeReading(reading('36.6', { antipyreticTaken: 'unknown' }), plan(threshold()), []).reassuring).toBe(
      false,
    );
  });

  it('does not lower a fever to less', () => {
    expect(judgeReading(reading('38.0', { antipyreticTaken: 'yes' }), plan(threshold()), []).alert).toBe('fever');
  });
});

describe('an implausible temperature', () => {
  it('is raised as such and not judged as a fever', () => {
    expect(judgeReading(reading('73.8'), plan(threshold()), [])).toMatchObject({
      alert: 'implausible',
      plausibility: 'implausible',
      reassuring: false,
    });
    expect(judgeReading(reading('3.66'), plan(threshold()), []).alert).toBe('implausible');
  });

  it('gives way to a symptom, and stays marked', () => {
    expect(judgeReading(reading('73.8', { symptoms: ['vomiting'] }), plan(threshold()), [])).toMatchObject({
      alert: 'symptom',
      plausibility: 'implausible',
    });
  });
});

describe('an entry without a temperature', () => {
  it('is never reassuring', () => {
    expect(judgeReading(reading(null), plan(threshold()), [])).toMatchObject({ alert: null, reassuring: false });
  });
});
