import { describe, expect, it } from '@jest/globals';
import { aRule, compiled, ISSUER, yesNo } from '../../../tests/support/decision/a-table.js';
import { DomainError } from '../refusal.js';
import { assess, classify } from './assess.js';
import type { Adjustment, DecisionTable, FactDefinition, Facts } from './table.js';

const facts: Record<string, FactDefinition> = {
  ...yesNo('splash', 'mask', 'tornGown', 'trained'),
  minutes: { kind: 'quantity', unit: 'min', min: '0', max: '1440' },
  unused: { kind: 'choice', values: ['a', 'b'] },
};
const inputs: DecisionTable['inputs'] = [
  { fact: 'splash' },
  { fact: 'mask' },
  { fact: 'tornGown' },
  { fact: 'minutes', cuts: [{ at: '15', operator: '>=' }] },
];
const rules = [
  aRule('E1', { splash: 'yes', mask: 'no' }, 'high', { row: '1' }),
  aRule('E2', { minutes: { '>=': '15' }, mask: 'no' }, 'moderate', {
    grade: 'second-hand',
    then: { category: 'moderate', actions: ['watch'] },
  }),
  aRule('E3', { tornGown: 'yes' }, 'low', { grade: 'remembered' }),
  aRule('E4', { splash: 'yes', mask: 'yes' }, 'not-classified', { grade: 'derived' }),
  aRule('E5', {}, 'none'),
];
const categories: DecisionTable['categories'] = [
  { id: 'none', words: 'No risk', level: 0, actions: [] },
  { id: 'low', words: 'Low risk', level: 1, actions: ['watch'] },
  { id: 'moderate', words: 'Moderate risk', level: 2, derived: true, actions: ['call'] },
  { id: 'high', words: 'High risk', level: 3, actions: ['call', 'stay-home'] },
];
const actions: DecisionTable['actions'] = {
  watch: { words: 'Watch for symptoms', grade: 'read', sources: [ISSUER] },
  call: { words: 'Be called every day', grade: 'read', sources: [ISSUER] },
  'stay-home': { words: 'Stay at home', grade: 'remembered', sources: [ISSUER] },
};
const table = compiled(facts, {
  inputs,
  rules,
  categories,
  actions,
  cautions: ['Issued for hospitals.'],
});

const none = { splash: 'no', mask: 'no', tornGown: 'no', minutes: 5 } satisfies Facts;

describe('an assessment', () => {
  it('gives the category, its actions, the rule, its source and grade', () => {
    const assessment = assess(table, { ...none, splash: 'yes' });
    expect(assessment).toMatchObject({
      table: 'example',
      version: '1',
      hash: 'hash',
      category: 'High risk',
      categoryId: 'high',
      level: 3,
      settled: true,
      reachable: ['High risk'],
      openQuestions: [],
      rule: 'E1',
      grade: 'read',
      sources: [ISSUER],
    });
    expect(assessment.actions.map(({ code }) => code)).toEqual(['call', 'stay-home']);
    expect(assessment.explanation).toMatchObject({
      row: '1',
      factsUsed: { splash: 'yes', mask: 'no' },
      adjustments: [],
    });
  });

  it('explains itself in plain sentences', () => {
    expect(assess(table, { ...none, minutes: '20.5' }).explanation).toEqual({
      row: null,
      factsUsed: { mask: 'no', minutes: '20.5 min' },
      adjustments: [],
      nearestChange: { changes: [{ fact: 'splash', from: 'no', to: 'yes' }], category: 'High risk' },
      words:
        'By “Guidance” (Issuer, version 1) the category is “Moderate risk”. Rule E2: Rule E2 in words. ' +
        'Source: Issuer, Guidance, 2020, Table 1. Weakest evidence: read in a reprint or summary. ' +
        'Facts used: mask: no, minutes: 20.5 min. ' +
        'Nearest change: with splash “yes” instead of “no” it would be “High risk”.',
    });
  });

  it('adds the actions of the rule to those of the category', () => {
    expect(assess(table, { ...none, minutes: 15 }).actions.map(({ code }) => code)).toEqual(['call', 'watch']);
  });

  it('names the known facts that were looked at where the rule names none', () => {
    expect(assess(table, none)).toMatchObject({
      rule: 'E5',
      explanation: { factsUsed: { splash: 'no', minutes: '5 min' } },
    });
  });

  it('of unknown facts assumes the worst and says what is open', () => {
    const assessment = assess(table, { mask: 'no' });
    expect(assessment).toMatchObject({
      categoryId: 'high',
      settled: false,
      reachable: ['High risk', 'Moderate risk', 'Low risk', 'No risk'],
      rule: null,
      grade: 'remembered',
    });
    expect(assessment.openQuestions[0]).toEqual({
      fact: 'splash',
      values: ['yes', 'no'],
      settlesAlone: false,
      leaves: { yes: ['High risk'], no: ['Moderate risk', 'Low risk', 'No risk'] },
    });
    expect(assessment.openQuestions.map(({ fact }) => fact)).toEqual(['splash', 'tornGown', 'minutes']);
    expect(assessment.cautions.join(' ')).toContain(
      'Not known: splash, tornGown, minutes. Unknown is never read as “no”',
    );
  });

  it('offers for a quantity the bands that the table distinguishes', () => {
    const { openQuestions } = assess(table, { ...none, minutes: null });
    expect(openQuestions).toEqual([
      {
        fact: 'minutes',
        values: ['under 15 min', '15 min or more'],
        settlesAlone: true,
        leaves: { 'under 15 min': ['No risk'], '15 min or more': ['Moderate risk'] },
      },
    ]);
  });

  it('takes a range for the set of its bands', () => {
    expect(assess(table, { ...none, minutes: { min: 10, max: 14.9 } })).toMatchObject({
      settled: true,
      categoryId: 'none',
    });
    const across = assess(table, { ...none, minutes: { min: 10, max: 15 } });
    expect(across).toMatchObject({ settled: false, categoryId: 'moderate' });
    expect(across.cautions.join(' ')).toContain('Known only within limits: minutes');
  });

  it.each([undefined, null, 'unknown'])('reads %s as not known', (splash) => {
    expect(assess(table, { ...none, splash })).toEqual(assess(table, { mask: 'no', tornGown: 'no', minutes: 5 }));
  });

  it('is settled when what is unknown cannot matter, and pins itself to the rule that holds anyhow', () => {
    const rows = [aRule('A', { splash: 'yes' }, 'high'), aRule('B', { mask: 'no' }, 'high'), aRule('C', {}, 'none')];
    const overlapping = compiled(yesNo('splash', 'mask'), { hitPolicy: 'priority', rules: rows });
    expect(assess(overlapping, { mask: 'no' })).toMatchObject({ settled: true, rule: 'B', openQuestions: [] });
    const both = compiled(yesNo('splash', 'mask'), {
      rules: [aRule('A', { splash: 'yes' }, 'high'), aRule('B', { splash: 'no' }, 'high')],
    });
    const either = assess(both, {});
    expect(either).toMatchObject({ settled: true, rule: null, categoryId: 'high' });
    expect(either.explanation.words).toContain('What is unknown decides between A and B, and all of them lead there.');
  });

  it('never calls what the authority left open a level, and sends it to a human', () => {
    const assessment = assess(table, { ...none, splash: 'yes', mask: 'yes' });
    expect(assessment).toMatchObject({
      category: 'not classified by this authority',
      level: null,
      settled: true,
      rule: 'E4',
    });
    expect(assessment.cautions.join(' ')).toContain('not the same as no risk');
    expect(assessment.explanation.words).toContain('goes to a human');
  });

  it('takes a gap in a table for not classified and says that it is one', () => {
    const gappy = compiled(yesNo('splash'), { rules: [aRule('A', { splash: 'yes' }, 'high')] });
    const assessment = assess(gappy, { splash: 'no' });
    expect(assessment).toMatchObject({
      categoryId: 'not-classified',
      level: null,
      rule: null,
      grade: 'derived',
      sources: [],
    });
    expect(assessment.explanation.words).toContain('gap, never a sign of safety');
  });
});

describe('cautions', () => {
  it('always say that this is a decision aid and who decides, and what the table says itself', () => {
    expect(assess(table, none).cautions).toEqual(
      expect.arrayContaining([
        'This is a decision aid, not a diagnosis.',
        'Local policy, occupational health and licensed clinicians decide.',
        'Issued for hospitals.',
      ]),
    );
  });

  it('name rows and actions from memory where the result could rest on them', () => {
    const high = assess(table, { ...none, splash: 'yes' }).cautions.join(' ');
    expect(high).toContain('Actions from memory, not checked against the source: Stay at home.');
    expect(high).not.toContain('From memory and not checked against the source: E3');
    expect(assess(table, { ...none, tornGown: 'unknown' }).cautions.join(' ')).toContain(
      'not checked against the source: E3',
    );
    expect(high).toContain('This table needs local confirmation: 1 of its rows');
  });

  it('say that guidance is superseded or out of its time', () => {
    const superseded = compiled(facts, { inputs, rules, categories, actions, supersededBy: 'example@2' });
    expect(assess(superseded, none).cautions.join(' ')).toContain('superseded by example@2');
    const ended = compiled(facts, { inputs, rules, categories, actions, validUntil: '2017-07-01' });
    expect(assess(ended, none).cautions.join(' ')).toContain('until 2017-07-01');
  });

  it('say when the words of a category are ours', () => {
    expect(assess(table, { ...none, minutes: 60 }).cautions.join(' ')).toContain('“Moderate risk” is our wording');
  });
});

describe('facts', () => {
  const refusal = (given: unknown): DomainError => {
    try {
      assess(table, given as Facts);
    } catch (error) {
      if (error instanceof DomainError) return error;
    }
    throw new Error('They were accepted.');
  };

  it('outside the vocabulary are refused by name, and the known ones listed', () => {
    expect(refusal({ 'we/ather': 'fine' })).toMatchObject({ code: 'unknown-fact', pointer: '/we~1ather' });
    expect(refusal({ weather: 'fine' }).accepted).toContain('splash, mask, tornGown, trained, minutes, unused');
    expect(refusal({ constructor: 'yes' }).code).toBe('unknown-fact');
    expect(refusal(JSON.parse('{"__proto__":"yes"}')).code).toBe('unknown-fact');
  });

  it('that this table does not use are ignored, as tables share one vocabulary', () => {
    expect(assess(table, { ...none, trained: 'yes', unused: 'a' })).toEqual(assess(table, none));
  });

  it('that this table does not use are still checked', () => {
    expect(refusal({ ...none, unused: 'c' })).toMatchObject({ code: 'unacceptable-answer', pointer: '/unused' });
  });

  it('with an unlisted answer are refused without repeating it', () => {
    const refused = refusal({ splash: 'possibly' });
    expect(refused).toMatchObject({
      code: 'unacceptable-answer',
      pointer: '/splash',
      accepted: 'one of: yes, no, unknown',
    });
    expect(refused.message).not.toContain('possibly');
  });

  it.each([null, 'yes', 3, [], undefined])('that are %j instead of an object are refused', (given) => {
    expect(refusal(given)).toMatchObject({ code: 'unacceptable-answer', pointer: '' });
  });

  it('that cannot be true together are refused, naming the pair', () => {
    const impossible = [{ when: { splash: 'yes', mask: 'yes' }, why: 'the mask was off.' }];
    const limited = compiled(facts, { inputs, rules, categories, actions, impossible });
    const given = { splash: 'yes', mask: 'yes', minutes: 3 } satisfies Facts;
    expect(() => assess(limited, given)).toThrow(
      'The answers to splash and mask cannot be true together: the mask was off.',
    );
    expect(() => classify(limited, given)).toThrow(DomainError);
    expect(assess(limited, { splash: 'yes' })).toMatchObject({ settled: true, categoryId: 'high' });
  });

  it('that several impossible combinations exclude together are refused, too', () => {
    const impossible: DecisionTable['impossible'] = [
      { when: { splash: 'yes', mask: 'yes' }, why: 'first.' },
      { when: { tornGown: 'yes', mask: 'no' }, why: 'second.' },
    ];
    const limited = compiled(facts, { inputs, rules, categories, actions, impossible });
    expect(() => assess(limited, { splash: 'yes', tornGown: 'yes' })).toThrow(
      /splash and tornGown cannot be true together/,
    );
  });
});

describe('adjustments', () => {
  const raise = (id: string, fact: string, by: 1 | 2, appliesTo = ['base']): Adjustment => ({
    id,
    appliesTo,
    when: { [fact]: 'yes' },
    raise: by,
    words: `Raised for ${fact}`,
    grade: id === 'b' ? 'remembered' : 'read',
    sources: [{ ...ISSUER, section: `footnote ${id}` }],
  });
  const rows = [aRule('open', { c: 'yes' }, 'not-classified'), aRule('base', {}, 'low')];
  const raised = (more: Partial<DecisionTable>) => compiled(yesNo('a', 'b', 'c'), { rules: rows, ...more });
  const once = raised({ adjustments: [raise('a', 'a', 1), raise('b', 'b', 1)] });

  it('raise once in total, whatever number of them hold', () => {
    expect(assess(once, { a: 'yes', b: 'no', c: 'no' })).toMatchObject({ categoryId: 'moderate', rule: 'base' });
    expect(assess(once, { a: 'yes', b: 'yes', c: 'no' })).toMatchObject({ categoryId: 'moderate' });
    expect(assess(once, { a: 'no', b: 'no', c: 'no' })).toMatchObject({ categoryId: 'low' });
  });

  it('take the largest raise when they raise differently', () => {
    const differing = raised({ adjustments: [raise('a', 'a', 1), raise('b', 'b', 2)] });
    expect(assess(differing, { a: 'yes', b: 'yes', c: 'no' })).toMatchObject({
      categoryId: 'high',
      explanation: { adjustments: [{ id: 'b', words: 'Raised for b' }] },
    });
  });

  it('add where the source says so, and stop at the highest', () => {
    const adding = raised({ adjustmentsAdd: true, adjustments: [raise('a', 'a', 1), raise('b', 'b', 1)] });
    expect(assess(adding, { a: 'yes', b: 'yes', c: 'no' })).toMatchObject({ categoryId: 'high' });
    const capped = raised({ adjustmentsAdd: true, adjustments: [raise('a', 'a', 2), raise('b', 'b', 2)] });
    expect(assess(capped, { a: 'yes', b: 'yes', c: 'no' })).toMatchObject({ categoryId: 'high' });
  });

  it('are never applied to what the authority left open, and the explanation says so', () => {
    const open = assess(once, { a: 'yes', b: 'yes', c: 'yes' });
    expect(open).toMatchObject({ categoryId: 'not-classified', level: null });
    expect(open.explanation.words).toContain('Nothing is raised from what the authority left open.');
  });

  it('raise only the rules they name', () => {
    const other = raised({
      rules: [aRule('other', { c: 'yes' }, 'low'), aRule('base', {}, 'low')],
      adjustments: [raise('a', 'a', 1)],
    });
    expect(assess(other, { a: 'yes', b: 'no', c: 'yes' })).toMatchObject({ categoryId: 'low', rule: 'other' });
  });

  it('step along the levels that the table uses', () => {
    const categories: DecisionTable['categories'] = [
      { id: 'low', words: 'Low', level: 1, actions: [] },
      { id: 'high', words: 'High', level: 3, actions: [] },
    ];
    const twoLevels = raised({ categories, adjustments: [raise('a', 'a', 1)] });
    expect(assess(twoLevels, { a: 'yes', b: 'no', c: 'no' })).toMatchObject({ categoryId: 'high', level: 3 });
  });

  it('count for grade, sources, facts used and explanation', () => {
    const assessment = assess(once, { a: 'no', b: 'yes', c: 'no' });
    expect(assessment).toMatchObject({ grade: 'remembered', explanation: { factsUsed: { b: 'yes' } } });
    expect(assessment.sources.map(({ section }) => section)).toEqual(['Table 1', 'footnote b']);
    expect(assessment.explanation.words).toContain('Raised for b. A category is raised once at most');
    expect(assessment.cautions.join(' ')).toContain('From memory and not checked against the source: b');
  });

  it('that are unknown leave both categories reachable', () => {
    expect(assess(once, { a: 'unknown', b: 'no', c: 'no' })).toMatchObject({
      settled: false,
      reachable: ['Moderate risk', 'Low risk'],
      categoryId: 'moderate',
    });
  });
});

describe('open questions', () => {
  it('include those that matter only because of what cannot happen', () => {
    // a and b are always alike, c and d too: no single answer to one of them changes or narrows anything.
    const impossible: DecisionTable['impossible'] = [
      { when: { a: 'yes', b: 'no' }, why: 'alike.' },
      { when: { a: 'no', b: 'yes' }, why: 'alike.' },
      { when: { c: 'yes', d: 'no' }, why: 'alike.' },
      { when: { c: 'no', d: 'yes' }, why: 'alike.' },
    ];
    const rows = [
      aRule(
        'R',
        [
          { a: 'yes', c: 'no' },
          { a: 'no', d: 'yes' },
        ],
        'high',
      ),
      aRule('else', {}, 'none'),
    ];
    const tied = compiled(yesNo('a', 'b', 'c', 'd', 'e'), { rules: rows, impossible });
    expect(assess(tied, {}).openQuestions.map(({ fact }) => fact)).toEqual(['a', 'b', 'c', 'd']);
    expect(assess(tied, { a: 'yes' }).openQuestions.map(({ fact }) => fact)).toEqual(['c', 'd']);
  });

  it('leave out what is tied to another but changes nothing', () => {
    const impossible = [{ when: { b: 'yes', c: 'yes' }, why: 'never both.' }];
    const rows = [aRule('R', { a: 'yes' }, 'high'), aRule('else', {}, 'none')];
    const tied = compiled(yesNo('a', 'b', 'c'), { rules: rows, impossible });
    expect(assess(tied, {}).openQuestions.map(({ fact }) => fact)).toEqual(['a']);
  });

  it('come in order: settles alone, lowers the worst most, leaves fewest, order of the inputs', () => {
    const rows = [
      aRule('high', { a: 'yes', b: 'yes' }, 'high'),
      aRule('moderate', { c: 'yes', d: 'yes' }, 'moderate'),
      aRule('else', {}, 'none'),
    ];
    const ranked = compiled(yesNo('d', 'c', 'b', 'a'), { rules: rows });
    expect(assess(ranked, {}).openQuestions.map(({ fact }) => fact)).toEqual(['b', 'a', 'd', 'c']);
    expect(assess(ranked, { a: 'yes', c: 'no' }).openQuestions).toMatchObject([{ fact: 'b', settlesAlone: true }]);
  });
});
