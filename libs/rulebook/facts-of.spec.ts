import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { assess, ROUTES, STAGES, type FactAnswer, type RouteFacts, type Ternary } from '#domain';
import { bodyFluidOf, factsOf, loadRulebook, type ReportedContent } from './index.js';

const book = loadRulebook();
const ternary = fc.constantFrom<Ternary>('yes', 'no', 'unknown');
const routesOf = (answer: Ternary, changes: Partial<RouteFacts> = {}): RouteFacts => ({
  ...(Object.fromEntries(ROUTES.map((route) => [route, answer])) as RouteFacts),
  ...changes,
});
const aContent = (changes: Partial<ReportedContent> = {}): ReportedContent => ({
  stage: 'patient-care',
  breaches: [{ layer: 'outer-gloves', extent: 'total', manner: 'tear' }],
  lapses: [],
  task: 'not-known',
  fluid: 'unknown',
  certainty: 'unknown',
  facts: {},
  ...changes,
});
const facts = (routes: RouteFacts, changes: Partial<ReportedContent> = {}) =>
  factsOf({ routes, content: aContent(changes) });

const TASKS = [
  'personal-care',
  'turning-or-lifting',
  'airway-procedure',
  'cleaning-spill',
  'after-death-care',
  'other',
];
const FLUIDS = ['none', 'blood', 'sweat', 'disinfectant-only', 'unknown'];
const anyReport = fc.record({
  routes: fc.record(Object.fromEntries(ROUTES.map((route) => [route, ternary]))) as fc.Arbitrary<RouteFacts>,
  content: fc.record({
    stage: fc.constantFrom(...STAGES),
    breaches: fc.constantFrom([], [{ layer: 'gown', extent: 'partial' as const, manner: 'missing' as const }]),
    lapses: fc.constantFrom([], ['face-touched']),
    task: fc.constantFrom(...TASKS),
    fluid: fc.constantFrom(...FLUIDS),
    certainty: fc.constantFrom('confirmed', 'suspected', 'unknown'),
    facts: fc.constant({} as Record<string, FactAnswer>),
  }),
});

describe('facts drawn from a report', () => {
  it('leave out what nobody said, so that it is unknown and never “no”', () => {
    expect(facts(routesOf('unknown'))).toEqual({ stage: 'patient-care', ppeBreach: 'yes' });
    expect(facts(routesOf('unknown'), { breaches: [] })).toEqual({ stage: 'patient-care' });
  });

  it('take a lapse as a breach of protection too', () => {
    expect(facts(routesOf('unknown'), { breaches: [], lapses: ['face-touched'] })['ppeBreach']).toBe('yes');
  });

  it('take a missing layer as not everything having been worn, and claim nothing where none was missing', () => {
    const missing = { layer: 'visor', extent: 'total', manner: 'missing' } as const;
    expect(facts(routesOf('no'), { breaches: [missing] })['recommendedPpe']).toBe('no');
    expect(facts(routesOf('no'))).not.toHaveProperty('recommendedPpe');
  });

  it.each([
    ['blood', 'yes'],
    ['sweat', 'yes'],
    ['none', 'no'],
    ['unknown', 'unknown'],
    ['disinfectant-only', 'unknown'],
  ])('take the fluid “%s” as body fluid: %s', (fluid, answer) => {
    expect(bodyFluidOf(fluid)).toBe(answer);
    expect(facts(routesOf('no'), { fluid })['bodyFluid']).toBe(answer === 'unknown' ? undefined : answer);
  });

  it('do not take a clean-looking sharp as free of blood', () => {
    expect(facts(routesOf('no', { percutaneous: 'yes' }), { fluid: 'none' })).not.toHaveProperty('bodyFluid');
    expect(facts(routesOf('no', { percutaneous: 'unknown' }), { fluid: 'none' })).not.toHaveProperty('bodyFluid');
  });

  it('know a procedure on the airway only from the task, and leave it open for every other', () => {
    expect(facts(routesOf('no'), { task: 'airway-procedure' })['aerosolProcedure']).toBe('yes');
    for (const task of TASKS.filter((other) => other !== 'airway-procedure')) {
      expect(facts(routesOf('no'), { task })).not.toHaveProperty('aerosolProcedure');
    }
  });

  it('take care of the patient as touching, and cleaning only as handling soiled things', () => {
    expect(facts(routesOf('no'), { task: 'blood-sampling' })).toMatchObject({
      activity: 'care',
      touchedPatient: 'yes',
    });
    expect(facts(routesOf('no'), { task: 'cleaning-spill' })).toMatchObject({ handledSoiled: 'yes' });
    expect(facts(routesOf('no'), { task: 'cleaning-spill' })).not.toHaveProperty('touchedPatient');
  });

  it.each([
    ['yes', { intactSkin: 'yes' }, 'blood'],
    ['no', {}, 'blood'],
    ['no', { intactSkin: 'unknown' }, 'none'],
    [undefined, { intactSkin: 'unknown' }, 'blood'],
    [undefined, { intactSkin: 'yes' }, 'unknown'],
  ] as const)('take contact as possible: %s, for %p and fluid %s', (answer, changes, fluid) => {
    expect(facts(routesOf('no', changes), { fluid })['contactPossible']).toBe(answer);
  });

  it('let an answer in the vocabulary itself win, but not one that says “unknown”', () => {
    const given = { activity: 'in-room', bodyFluid: 'unknown', contactMinutes: { min: 5 }, touchedPatient: null };
    expect(facts(routesOf('yes'), { task: 'wound-care', fluid: 'blood', facts: given })).toMatchObject({
      activity: 'in-room',
      bodyFluid: 'yes',
      contactMinutes: { min: 5 },
      touchedPatient: 'yes',
    });
  });

  it('are accepted by every table, whatever was reported', () => {
    fc.assert(
      fc.property(anyReport, (report) => {
        const drawn = factsOf(report);
        for (const table of book.tables()) assess(table, drawn);
      }),
      { numRuns: 300 },
    );
  });

  it('give no milder interim category for an answer that is withheld', () => {
    const severity = (level: number | null) => level ?? 2.5;
    fc.assert(
      fc.property(anyReport, (report) => {
        const withheld = { ...report, content: { ...report.content, fluid: 'unknown', task: 'not-known' } };
        for (const table of book.tables()) {
          const known = assess(table, factsOf(report)).level;
          expect(severity(assess(table, factsOf(withheld)).level)).toBeGreaterThanOrEqual(severity(known));
        }
      }),
      { numRuns: 300 },
    );
  });

  it('leave a breach with nothing looked at unsettled, at the worst that it may be', () => {
    const result = assess(book.table('vhf-cdc-2023'), facts(routesOf('unknown'), { fluid: 'blood' }));
    expect(result).toMatchObject({ settled: false, categoryId: 'high-risk' });
  });

  it('settle a tear over an inner glove found whole with one more answer', () => {
    const known = facts(routesOf('no'), { fluid: 'blood', task: 'personal-care' });
    const before = assess(book.table('vhf-cdc-2023'), known);
    expect(before).toMatchObject({ settled: false, categoryId: 'high-risk' });
    expect(before.openQuestions[0]?.fact).toBe('recommendedPpe');
    const after = assess(book.table('vhf-cdc-2023'), { ...known, recommendedPpe: 'yes' });
    expect(after).toMatchObject({ settled: true, categoryId: 'no-known-high-risk', rule: 'V6' });
  });
});
