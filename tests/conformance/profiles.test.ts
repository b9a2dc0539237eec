import { describe, expect, it } from '@jest/globals';
import { planFollowUp, type EvidenceGrade, type PermittedWork, type Regime } from '#domain';
import { book } from './published-rows.js';

/** Published windows, in days after the last exposure, typed in by hand. */
const WINDOWS: readonly (readonly [profile: string, days: number, grade: EvidenceGrade])[] = [
  ['unidentified-vhf/cdc@2023', 21, 'derived'],
  ['ebola/cdc@2014-10-14', 21, 'derived'],
  ['ebola/cdc@2014', 21, 'second-hand'],
  ['ebola/cdc@2023', 21, 'read'],
  ['ebola/ecdc@2015', 21, 'second-hand'],
  ['ebola/ukhsa@2014', 21, 'remembered'],
  ['ebola/ukhsa@2025', 21, 'second-hand'],
  ['ebola/who@2026', 21, 'read'],
  ['ebola/phac@2026', 21, 'derived'],
  ['marburg/cdc@2023', 21, 'read'],
  ['marburg/who@2026', 21, 'remembered'],
  ['lassa/cdc@2023', 21, 'read'],
  ['lassa/ncdc@2021', 21, 'read'],
  ['lassa/who@2026', 21, 'remembered'],
  ['cchf/cdc@2023', 14, 'read'],
  ['cchf/who@2026', 14, 'remembered'],
  ['south-american-vhf/cdc@2023', 21, 'read'],
  ['nipah/india@2018', 21, 'second-hand'],
  ['nipah/india@2026', 21, 'second-hand'],
  ['nipah/cdc@2026', 21, 'derived'],
  ['nipah/who@2026', 45, 'derived'],
  ['mers/cdc@2019', 14, 'read'],
  ['mers/ukhsa@2024', 14, 'derived'],
  ['mers/saudi-arabia@2014', 14, 'derived'],
  ['mers/hong-kong@2015', 14, 'read'],
  ['sars/cdc@2003', 10, 'second-hand'],
  ['sars/cdc@2004', 10, 'remembered'],
  ['sars-cov-2/cdc@2020', 14, 'second-hand'],
  ['sars-cov-2/cdc@2022', 14, 'derived'],
  ['sars-cov-2/who@2020', 14, 'remembered'],
  ['avian-influenza/cdc@2026', 10, 'remembered'],
  ['avian-influenza/ukhsa@2024-02-01', 10, 'derived'],
  ['avian-influenza/ukhsa@2024', 10, 'derived'],
  ['avian-influenza/ukhsa@2026', 14, 'derived'],
  ['avian-influenza/who@2026', 10, 'derived'],
  ['mpox/cdc@2022-earlier', 21, 'read'],
  ['mpox/cdc@2022', 21, 'read'],
  ['mpox/cdc@2026', 21, 'read'],
  ['mpox/phe@2018', 21, 'second-hand'],
  ['mpox/ukhsa@2022', 21, 'second-hand'],
  ['smallpox/state-us@2026', 18, 'second-hand'],
  ['smallpox/cdc@2026', 21, 'remembered'],
  ['plague-pneumonic/cdc@2026', 7, 'second-hand'],
  ['plague-pneumonic/nsw@2026', 7, 'derived'],
];

/** Published regimes by category: who watches, readings a day, contacts a day, and the strictest work that is permitted. */
type Published = readonly [
  profile: string,
  category: string,
  regime: Regime,
  readings: number,
  contacts: number,
  work: readonly PermittedWork[],
];
const REGIMES: readonly Published[] = [
  ['unidentified-vhf/cdc@2023', 'high-risk', 'active', 2, 1, ['not-on-site']],
  ['unidentified-vhf/cdc@2023', 'no-known-high-risk', 'self', 2, 0, []],
  ['ebola/cdc@2014', 'high', 'direct-active', 2, 1, ['remote-only', 'all']],
  ['ebola/cdc@2014', 'some', 'direct-active', 2, 1, ['not-rostered-until-decided']],
  ['ebola/cdc@2014', 'low', 'active', 2, 1, []],
  ['ebola/cdc@2023', 'high-risk', 'active', 2, 1, ['remote-only', 'all']],
  ['ebola/cdc@2023', 'no-known-high-risk', 'self', 2, 0, []],
  ['cchf/cdc@2023', 'high-risk', 'active', 2, 1, ['remote-only', 'all']],
  ['ebola/ecdc@2015', 'no-direct-contact', 'passive', 0, 0, []],
  ['ebola/ecdc@2015', 'protected-contact', 'active', 2, 1, []],
  ['ebola/ecdc@2015', 'unprotected-contact', 'active', 2, 1, ['no-patient-contact', 'all']],
  ['ebola/ecdc@2015', 'mucosal-or-parenteral', 'active', 2, 1, ['no-patient-contact', 'not-on-site', 'not-on-site']],
  ['ebola/ukhsa@2014', 'category-2', 'self', 2, 0, []],
  ['ebola/ukhsa@2014', 'category-3', 'active', 1, 1, ['no-patient-contact']],
  ['ebola/ukhsa@2025', 'exposed', 'self', 2, 0, ['no-patient-contact']],
  ['nipah/india@2026', 'exposed', 'direct-active', 2, 2, ['remote-only']],
  ['mers/cdc@2019', 'high', 'active', 2, 1, ['not-on-site']],
  ['mers/cdc@2019', 'some', 'active', 2, 1, ['not-on-site']],
  ['mers/cdc@2019', 'low', 'active', 2, 1, []],
  ['mers/hong-kong@2015', 'exposed', 'direct-active', 2, 1, ['remote-only']],
  ['sars/cdc@2003', 'exposed', 'active', 1, 1, []],
  ['sars/cdc@2004', 'exposed', 'active', 1, 1, ['not-on-site']],
  ['sars-cov-2/cdc@2020', 'high', 'active', 2, 1, ['not-on-site']],
  ['sars-cov-2/cdc@2020', 'medium', 'active', 2, 1, ['not-on-site']],
  ['sars-cov-2/cdc@2020', 'low', 'self-supervised', 2, 1, []],
  ['sars-cov-2/cdc@2022', 'exposed', 'self', 2, 0, []],
  ['avian-influenza/who@2026', 'exposed', 'self', 2, 0, ['all']],
  ['mpox/phe@2018', 'low', 'passive', 0, 0, []],
  ['mpox/phe@2018', 'intermediate', 'active', 1, 1, []],
  ['mpox/phe@2018', 'high', 'active', 1, 1, ['no-patient-contact']],
  ['mpox/cdc@2022', 'exposed', 'active', 2, 1, ['no-patient-contact']],
  ['mpox/cdc@2022-earlier', 'exposed', 'self-supervised', 2, 1, []],
  ['smallpox/state-us@2026', 'exposed', 'active', 2, 1, ['remote-only']],
];
const NOTHING_ASKED = [
  ['ebola/cdc@2014', 'none'],
  ['ebola/ukhsa@2014', 'category-1'],
  ['mpox/phe@2018', 'no-risk'],
] as const;

const EXPOSED_AT = '2026-03-02T12:30:00Z';
const plan = (profile: string, category?: string) =>
  planFollowUp({ profile: book.profile(profile), category, exposures: [EXPOSED_AT], timeZone: 'Europe/London' });
/** Counted on a calendar of its own, so that the plan is not asked about itself. */
const dateAfter = (days: number) => new Date(Date.UTC(2026, 2, 2 + days)).toISOString().slice(0, 10);

describe('the window of every profile', () => {
  it.each(WINDOWS)('%s ends %i days after the last exposure (%s)', (id, days, grade) => {
    const profile = book.profile(id);
    expect(profile.window).toMatchObject({ days, grade, from: 'last-exposure' });
    expect(plan(id)).toMatchObject({ dayZero: '2026-03-02', lastDay: dateAfter(days) });
  });

  it('is stated here for every profile that ships', () => {
    expect(
      book
        .profiles()
        .map(({ id }) => id)
        .sort(),
    ).toEqual(WINDOWS.map(([id]) => id).sort());
  });

  it('runs from the last of several exposures, in the person’s zone', () => {
    const exposures = ['2026-03-02T12:30:00Z', '2026-03-04T23:30:00Z'];
    const profile = book.profile('ebola/cdc@2023');
    expect(planFollowUp({ profile, exposures, timeZone: 'Europe/Paris' })).toMatchObject({
      dayZero: '2026-03-05',
      lastDay: '2026-03-26',
    });
  });
});

describe('the regime of every category', () => {
  it.each(REGIMES)(
    '%s, %s: %s, %i readings and %i contacts a day',
    (id, category, regime, readings, contacts, work) => {
      const made = plan(id, category);
      const { days } = book.profile(id).window;
      const count = (kind: string) => made.checks.filter((check) => check.kind === kind).length;
      expect(made.regime).toBe(regime);
      // On day 0 the morning has passed, the evening has not; on every later day all are due.
      expect(count('reading')).toBe(readings === 0 ? 0 : readings * days + 1);
      expect(count('contact')).toBe(contacts * days);
      expect(made.restrictions.map((restriction) => restriction.work)).toEqual(work);
      for (const { from, until } of made.restrictions) expect([from, until]).toEqual(['2026-03-02', dateAfter(days)]);
      const release = made.checks.find(({ kind }) => kind === 'release');
      // The window ends with day N; the release is signed on the day after.
      expect(release?.localDate).toBe(dateAfter(days + 1));
    },
  );

  it.each(NOTHING_ASKED)('%s, %s: nothing is asked for but a review', (id, category) => {
    const made = plan(id, category);
    expect(made.regime).toBe('none');
    expect(made.checks.map(({ kind }) => kind)).toEqual(['review']);
    expect(made.restrictions).toEqual([]);
  });

  it('is the strictest of the profile where nothing is known or the table left it open', () => {
    for (const profile of book.profiles()) {
      const strictest = plan(profile.id, profile.strictest);
      for (const category of [undefined, 'not-classified']) {
        expect(plan(profile.id, category).checks).toEqual(strictest.checks);
      }
      for (const category of Object.keys(profile.categories)) {
        const milder = plan(profile.id, category);
        expect(milder.checks.length).toBeLessThanOrEqual(strictest.checks.length);
      }
    }
  });

  it('never asks for fewer contacts than its name says', () => {
    const least: Partial<Record<Regime, number>> = { active: 1, 'direct-active': 1, 'self-supervised': 1 };
    for (const { id, categories } of book.profiles()) {
      for (const [category, { regime, contactsPerDay }] of Object.entries(categories)) {
        expect([id, category, contactsPerDay >= (least[regime] ?? 0)]).toEqual([id, category, true]);
      }
    }
  });

  it('says in words where it is our own cautious reading', () => {
    for (const { id, categories, cautions } of book.profiles()) {
      const ours = Object.values(categories).some(({ restrictions }) =>
        restrictions.some(({ code }) => code === 'cautious-no-patient-contact'),
      );
      if (ours)
        expect([id, cautions.some((words) => words.startsWith('No rule on work was read'))]).toEqual([id, true]);
    }
  });
});

/** Section by section of the published thresholds: as published, with its operator, its unit and the number of readings. */
const THRESHOLDS: readonly (readonly [
  profile: string,
  operator: '>=' | '>',
  value: string,
  unit: 'Cel' | '[degF]',
  readings: 1 | 2,
  grade: EvidenceGrade,
])[] = [
  ['ebola/cdc@2014', '>=', '38.0', 'Cel', 1, 'second-hand'],
  ['ebola/cdc@2023', '>=', '38.0', 'Cel', 1, 'second-hand'],
  ['ebola/cdc@2014-10-14', '>', '101.5', '[degF]', 1, 'second-hand'],
  ['ebola/ukhsa@2025', '>=', '37.5', 'Cel', 1, 'second-hand'],
  ['ebola/ukhsa@2014', '>=', '37.5', 'Cel', 1, 'remembered'],
  ['mpox/cdc@2022', '>=', '38', 'Cel', 1, 'read'],
  ['mpox/cdc@2022-earlier', '>=', '99.3', '[degF]', 1, 'read'],
  ['mers/ukhsa@2024', '>=', '38', 'Cel', 1, 'read'],
  ['mers/saudi-arabia@2014', '>=', '38', 'Cel', 1, 'second-hand'],
  ['sars-cov-2/cdc@2020', '>=', '100.0', '[degF]', 1, 'remembered'],
  ['avian-influenza/ukhsa@2026', '>=', '37.8', 'Cel', 1, 'read'],
  ['avian-influenza/ukhsa@2024', '>=', '38', 'Cel', 1, 'read'],
  ['avian-influenza/ukhsa@2024-02-01', '>', '38', 'Cel', 1, 'read'],
  ['avian-influenza/who@2026', '>', '38', 'Cel', 1, 'second-hand'],
  ['smallpox/state-us@2026', '>=', '101', '[degF]', 2, 'second-hand'],
  ['lassa/cdc@2023', '>=', '38.0', 'Cel', 1, 'remembered'],
];

describe('the threshold', () => {
  it.each(THRESHOLDS)('of %s is %s %s %s over %i reading(s), %s', (id, operator, value, unit, readings, grade) => {
    expect(book.profile(id).threshold).toMatchObject({ operator, value, unit, readings, grade });
  });

  it('that no authority published is derived or remembered, and the profile says so in words', () => {
    const published = new Set(THRESHOLDS.map(([id]) => id));
    for (const { id, threshold, cautions } of book.profiles()) {
      if (published.has(id)) continue;
      expect([id, threshold.grade]).toEqual([id, expect.stringMatching(/^(derived|remembered)$/)]);
      expect([id, cautions.some((words) => /threshold/i.test(words))]).toEqual([id, true]);
    }
  });
});

/** Reportable symptoms as published, section by section. */
const SYMPTOMS: readonly (readonly [profile: string, grade: EvidenceGrade, codes: readonly string[]])[] = [
  [
    'ebola/cdc@2014',
    'second-hand',
    ['severe-headache', 'muscle-pain', 'vomiting', 'diarrhoea', 'stomach-pain', 'unexplained-bleeding'],
  ],
  [
    'marburg/cdc@2023',
    'second-hand',
    ['headache', 'muscle-pain', 'joint-pain', 'fatigue', 'appetite-loss', 'stomach-or-bowel', 'unexplained-bleeding'],
  ],
  [
    'lassa/ncdc@2021',
    'read',
    [
      'headache',
      'sore-throat',
      'weakness',
      'cough',
      'nausea',
      'vomiting',
      'diarrhoea',
      'muscle-pain',
      'chest-pain',
      'unexplained-bleeding',
    ],
  ],
  ['cchf/cdc@2023', 'second-hand', ['confusion', 'unexplained-bleeding', 'liver-or-kidney-signs']],
  [
    'nipah/cdc@2026',
    'read',
    ['headache', 'cough', 'sore-throat', 'breathlessness', 'vomiting', 'drowsiness', 'confusion', 'seizure'],
  ],
  [
    'mers/cdc@2019',
    'read',
    [
      'cough',
      'breathlessness',
      'chills',
      'muscle-pain',
      'sore-throat',
      'headache',
      'diarrhoea',
      'nausea',
      'vomiting',
      'runny-nose',
    ],
  ],
  ['sars/cdc@2003', 'second-hand', ['respiratory-symptoms']],
  [
    'avian-influenza/ukhsa@2026',
    'read',
    ['cough', 'sore-throat', 'runny-nose', 'muscle-pain', 'breathlessness', 'red-eyes'],
  ],
  ['mpox/cdc@2022', 'read', ['chills', 'swollen-nodes', 'new-rash']],
  ['smallpox/state-us@2026', 'second-hand', ['new-rash']],
  ['plague-pneumonic/cdc@2026', 'read', ['cough']],
];

describe('the symptoms to report', () => {
  it.each(SYMPTOMS)('under %s (%s)', (id, grade, codes) => {
    const { symptoms } = book.profile(id);
    expect(symptoms.map(({ code }) => code)).toEqual(codes);
    expect(new Set(symptoms.map((symptom) => symptom.grade))).toEqual(new Set([grade]));
  });

  it('that another authority published are never given as this authority’s own', () => {
    const published = new Set(SYMPTOMS.map(([id]) => id));
    for (const { id, symptoms, cautions } of book.profiles()) {
      if (published.has(id) || symptoms.some(({ grade }) => grade !== 'derived')) continue;
      if (id === 'unidentified-vhf/cdc@2023' || id === 'ebola/cdc@2014-10-14') continue;
      expect([id, cautions.some((words) => words.startsWith('No list of symptoms'))]).toEqual([id, true]);
    }
  });
});

/** Limits for starting prophylaxis, in hours from the exposure. */
const LIMITS: readonly (readonly [profile: string, code: string, hours: number, grade: EvidenceGrade])[] = [
  ['mpox/cdc@2022', 'mva-bn-4-days', 96, 'read'],
  ['mpox/cdc@2022', 'mva-bn-14-days', 336, 'read'],
  ['smallpox/state-us@2026', 'smallpox-vaccine-5-days', 120, 'read'],
  ['smallpox/cdc@2026', 'smallpox-vaccine-3-days', 72, 'remembered'],
  ['plague-pneumonic/cdc@2026', 'plague-antibiotic', 168, 'second-hand'],
  ['lassa/cdc@2023', 'ribavirin-lassa', 48, 'read'],
  ['avian-influenza/cdc@2026', 'oseltamivir', 48, 'second-hand'],
];

describe('the time limit for prophylaxis', () => {
  it.each(LIMITS)('of %s, %s: %i hours (%s)', (id, code, withinHours, grade) => {
    expect(book.profile(id).prophylaxis.find((limit) => limit.code === code)).toMatchObject({ withinHours, grade });
    const due = plan(id).checks.filter(({ kind }) => kind === 'prophylaxis');
    expect(due.map(({ dueUntil }) => Date.parse(dueUntil) - Date.parse(EXPOSED_AT))).toContain(withinHours * 3_600_000);
  });

  it('is not invented for Ebola, Marburg, MERS, Nipah or SARS', () => {
    for (const agent of ['ebola', 'marburg', 'mers', 'nipah', 'sars', 'unidentified-vhf', 'cchf']) {
      for (const { id, prophylaxis } of book.profiles().filter((profile) => profile.agent === agent)) {
        expect([id, prophylaxis]).toEqual([id, []]);
      }
    }
  });
});

describe('the tests of COVID-19 under CDC’s guidance of September 2022', () => {
  it('are on days 1, 3 and 5, and remembered', () => {
    const { tests } = book.profile('sars-cov-2/cdc@2022');
    expect(tests.map(({ day, grade }) => [day, grade])).toEqual([
      [1, 'remembered'],
      [3, 'remembered'],
      [5, 'remembered'],
    ]);
  });
});
