import { describe, expect, it } from '@jest/globals';
import { aRule, aTable, aVocabulary, compiled, ISSUER, yesNo } from '../../../tests/support/decision/a-table.js';
import { assess, classify } from './assess.js';
import { compileTable } from './compile.js';
import { checkTable } from './prove.js';
import { TableDefect } from './refusals.js';
import type { DecisionTable, FactDefinition } from './table.js';

const many = (count: number): string[] => Array.from({ length: count }, (_, i) => `fact${i}`);

/** A sequence that looks random and is the same every time. */
function* numbers(seed: number): Generator<number> {
  for (let state = seed; ;) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state / 2 ** 32;
  }
}

describe('large tables', () => {
  it('are compiled, proven and asked without walking the product of their inputs', () => {
    const facts: Record<string, FactDefinition> = {
      ...yesNo(...many(40)),
      task: { kind: 'choice', values: ['a', 'b', 'c', 'd', 'e', 'f', 'g'] },
      minutes: { kind: 'quantity', unit: 'min', min: '0', max: '1440' },
    };
    const rules = many(39).map((fact, i) =>
      aRule(`R${i}`, { [fact]: 'yes', [`fact${i + 1}`]: 'no', minutes: { '>=': '15' } }, i % 2 ? 'high' : 'low'),
    );
    const start = performance.now();
    const table = compiled(facts, {
      inputs: Object.keys(facts).map((fact) =>
        fact === 'minutes' ? { fact, cuts: [{ at: '15', operator: '>=' as const }] } : { fact },
      ),
      rules: [...rules, aRule('task', { task: ['a', 'b'], fact0: 'no' }, 'moderate'), aRule('else', {}, 'none')],
      impossible: [{ when: { fact3: 'yes', fact30: 'yes' }, why: 'they exclude each other.' }],
    });
    const check = checkTable(table);
    const unknown = assess(table, { minutes: { min: 10, max: 20 }, fact0: 'yes' });
    const took = performance.now() - start;
    const product = 2n ** 41n * 7n;
    expect(BigInt(check.product)).toBe(product);
    expect(BigInt(check.combinations)).toBe((product * 3n) / 4n);
    expect(check).toMatchObject({ gaps: [], collisions: [], deadRules: [], gapCombinations: '0' });
    expect(product).toBeGreaterThan(10n ** 12n);
    expect(unknown.reachable).toEqual(['High risk', 'Low risk', 'No risk']);
    expect(
      classify(table, { ...Object.fromEntries(many(40).map((fact) => [fact, 'no'])), minutes: 5, task: 'a' }),
    ).toBe('moderate');
    // About 50 ms here; the bound leaves room for a busy machine and none for a walk of 10^13 combinations.
    expect(took).toBeLessThan(3000);
  });

  it('count what falls into a gap exactly, far beyond what a double holds', () => {
    const rules = [aRule('rest', [{ fact0: 'yes' }, { fact1: 'yes' }, { fact2: 'yes' }], 'low')];
    const check = checkTable(compiled(yesNo(...many(80)), { rules }));
    expect(check.combinations).toBe((2n ** 80n).toString());
    expect(check.gapCombinations).toBe((2n ** 77n).toString());
    expect(check.gaps).toEqual([{ facts: { fact0: 'no', fact1: 'no', fact2: 'no' }, smallest: true }]);
    expect(check.idleInputs).toHaveLength(77);
  });

  it('are tested in an order of the compiler, which draws together what is named together', () => {
    // In the order as declared this one has more than a million nodes.
    const rules = many(20).map((fact, i) => aRule(`R${i}`, { [fact]: 'yes', [`fact${i + 20}`]: 'yes' }, 'high'));
    const table = compiled(yesNo(...many(40)), { hitPolicy: 'priority', rules: [...rules, aRule('else', {}, 'none')] });
    expect(table.byCategory.nodes.length).toBe(40);
  });

  it('above 200,000 nodes are refused, with the inputs that make them so large', () => {
    const random = numbers(7);
    const next = (below: number): number => Math.floor((random.next().value as number) * below);
    const rules = many(70).map((_, i) =>
      aRule(
        `R${i}`,
        Object.fromEntries(many(3).map(() => [`fact${next(60)}`, next(2) === 0 ? 'yes' : 'no'])),
        ['none', 'low', 'moderate', 'high'][i % 4] ?? 'none',
      ),
    );
    expect(() => compiled(yesNo(...many(60)), { rules })).toThrow(
      /Table example: its diagram needs more than 200,000 nodes, most of them for the inputs fact\d+, fact\d+/,
    );
    // A second of work; a busy machine stretches it.
  }, 180_000);
});

describe('an ill-formed table', () => {
  const facts: Record<string, FactDefinition> = {
    contact: { kind: 'yesNo' },
    stage: { kind: 'choice', values: ['care', 'removal'] },
    minutes: { kind: 'quantity', unit: 'min', min: '0', max: '60' },
  };
  const inputs: DecisionTable['inputs'] = [
    { fact: 'contact' },
    { fact: 'stage' },
    { fact: 'minutes', cuts: [{ at: '15', operator: '>=' }] },
  ];
  const rules = [aRule('R1', {}, 'low')];
  const adjustment = {
    id: 'A1',
    appliesTo: ['R1'],
    when: { contact: 'yes' },
    raise: 1 as const,
    words: 'Raised.',
    grade: 'read' as const,
    sources: [ISSUER],
  };
  const action = { words: 'Wash.', grade: 'read' as const, sources: [ISSUER] };

  it.each<[string, Partial<DecisionTable>, string]>([
    ['another vocabulary', { vocabulary: 'facts/v2' }, '/vocabulary'],
    ['an input that the vocabulary lacks', { inputs: [{ fact: 'weather' }] }, '/inputs/0/fact'],
    ['an input twice', { inputs: [{ fact: 'contact' }, { fact: 'contact' }] }, '/inputs/1/fact'],
    ['a quantity without cuts', { inputs: [{ fact: 'minutes' }] }, '/inputs/0'],
    ['cuts on a choice', { inputs: [{ fact: 'stage', cuts: [{ at: '1', operator: '>' }] }] }, '/inputs/0'],
    [
      'a cut twice',
      {
        inputs: [
          {
            fact: 'minutes',
            cuts: [
              { at: '15', operator: '>' },
              { at: '15.0', operator: '>' },
            ],
          },
        ],
      },
      '/inputs/0',
    ],
    ['a cut with nothing below', { inputs: [{ fact: 'minutes', cuts: [{ at: '0', operator: '>=' }] }] }, '/inputs/0'],
    ['a cut with nothing above', { inputs: [{ fact: 'minutes', cuts: [{ at: '60', operator: '>' }] }] }, '/inputs/0'],
    ['no rules', { rules: [] }, '/rules'],
    ['a rule id twice', { rules: [...rules, ...rules] }, '/rules/1/id'],
    ['a rule without a source', { rules: [aRule('R1', {}, 'low', { sources: [] })] }, '/rules/0/sources'],
    ['a rule for an unknown category', { rules: [aRule('R1', {}, 'extreme')] }, '/rules/0/then/category'],
    ['a rule over no input of the table', { rules: [aRule('R1', { weather: 'yes' }, 'low')] }, '/rules/0/when/weather'],
    ['a rule over an unlisted value', { rules: [aRule('R1', { stage: 'lunch' }, 'low')] }, '/rules/0/when/stage'],
    [
      'a condition that never holds',
      { rules: [aRule('R1', { contact: { not: ['yes', 'no'] } }, 'low')] },
      '/rules/0/when/contact',
    ],
    ['an empty list of conditions', { rules: [aRule('R1', [], 'low')] }, '/rules/0/when'],
    [
      'a comparison without its cut',
      { rules: [aRule('R1', { minutes: { '>': '15' } }, 'low')] },
      '/rules/0/when/minutes/>',
    ],
    ['a quantity compared with a word', { rules: [aRule('R1', { minutes: 'long' }, 'low')] }, '/rules/0/when/minutes'],
    [
      'a word compared with a quantity',
      { rules: [aRule('R1', { stage: { '>=': '1' } }, 'low')] },
      '/rules/0/when/stage',
    ],
    [
      'an unknown action',
      { rules: [aRule('R1', {}, 'low', { then: { category: 'low', actions: ['wash'] } })] },
      '/rules/0/then/actions/0',
    ],
    [
      'an action without a source',
      {
        categories: [{ id: 'low', words: 'Low', level: 1, actions: ['wash'] }],
        actions: { wash: { ...action, sources: [] } },
      },
      '/actions/wash',
    ],
    [
      'categories out of order',
      {
        categories: [
          { id: 'high', words: 'High', level: 3, actions: [] },
          { id: 'low', words: 'Low', level: 1, actions: [] },
        ],
      },
      '/categories/1',
    ],
    [
      'its own category for what is open',
      { categories: [{ id: 'not-classified', words: 'Open', level: 0, actions: [] }] },
      '/categories/0',
    ],
    ['an adjustment of no rule', { adjustments: [{ ...adjustment, appliesTo: ['R9'] }] }, '/adjustments/0/appliesTo/0'],
    [
      'an adjustment of what is open',
      { rules: [aRule('R1', {}, 'not-classified')], adjustments: [adjustment] },
      '/adjustments/0/appliesTo/0',
    ],
    [
      'a raise to a level of two categories',
      {
        categories: [
          { id: 'low', words: 'Low', level: 1, actions: [] },
          { id: 'high', words: 'High', level: 3, actions: [] },
          { id: 'higher', words: 'Higher', level: 3, actions: [] },
        ],
        adjustments: [adjustment],
      },
      '/adjustments/0/appliesTo/0',
    ],
    ['nothing that is possible', { impossible: [{ when: { contact: ['yes', 'no'] }, why: 'never.' }] }, '/impossible'],
  ])('with %s is refused, and the place named', (_, defect, pointer) => {
    const table = aTable({ inputs, rules, ...defect });
    let refused: unknown;
    try {
      compileTable(table, aVocabulary(facts), 'hash');
    } catch (error) {
      refused = error;
    }
    expect(refused).toBeInstanceOf(TableDefect);
    expect(refused).toMatchObject({ code: 'table-defect', pointer });
  });

  it('with a value named "unknown" is refused, since that always means a missing answer', () => {
    const choice: Record<string, FactDefinition> = { source: { kind: 'choice', values: ['positive', 'unknown'] } };
    expect(() => compiled(choice, { rules })).toThrow(/unknown/);
  });

  it('is compiled once its defects are gone', () => {
    expect(compileTable(aTable({ inputs, rules }), aVocabulary(facts), 'hash').table.id).toBe('example');
  });
});
