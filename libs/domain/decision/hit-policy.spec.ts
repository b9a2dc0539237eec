import { describe, expect, it } from '@jest/globals';
import { aRule, compiled, yesNo } from '../../../tests/support/decision/a-table.js';
import { assess } from './assess.js';
import { checkTable } from './prove.js';
import { worstFirst } from './severity.js';
import type { HitPolicy, Level, Rule } from './table.js';

/**
 * One set of rows under each hit policy, with the meaning of OMG DMN 1.5, section 8.2.8 (section number and wording
 * recalled from memory, not looked up):
 *  - unique: no two rows may hold together; if they do, the table is in error;
 *  - priority: of the rows that hold, the output that stands first in the list of output values, whatever the order of rows;
 *  - first: of the rows that hold, the first in order, whatever its output.
 */
describe('hit policies as in OMG DMN 1.5, section 8.2.8', () => {
  const rows: Rule[] = [
    aRule('brief', { contact: 'yes' }, 'low'),
    aRule('soaked', { soaked: 'yes' }, 'high'),
    aRule('neither', { contact: 'no', soaked: 'no' }, 'none'),
  ];
  const table = (hitPolicy: HitPolicy, rules = rows) => compiled(yesNo('contact', 'soaked'), { hitPolicy, rules });
  const both = { contact: 'yes', soaked: 'yes' };

  it('first takes the first row in order', () => {
    expect(assess(table('first'), both)).toMatchObject({ rule: 'brief', categoryId: 'low' });
    expect(assess(table('first', [...rows].reverse()), both)).toMatchObject({ rule: 'soaked', categoryId: 'high' });
  });

  it('priority takes the worst category, in whichever order the rows stand', () => {
    expect(assess(table('priority'), both)).toMatchObject({ rule: 'soaked', categoryId: 'high' });
    expect(assess(table('priority', [...rows].reverse()), both)).toMatchObject({ rule: 'soaked', categoryId: 'high' });
  });

  it('priority takes, of several rows with the same category, the first in order', () => {
    const rules = [
      aRule('a', { contact: 'yes' }, 'high'),
      aRule('b', { soaked: 'yes' }, 'high'),
      aRule('c', {}, 'none'),
    ];
    expect(assess(table('priority', rules), both).rule).toBe('a');
    expect(assess(table('priority', rules), { contact: 'no', soaked: 'yes' }).rule).toBe('b');
  });

  it('unique reports that two rows hold together, and until it is mended takes the worse and says so', () => {
    expect(checkTable(table('unique')).collisions).toEqual([
      { rules: ['brief', 'soaked'], facts: both, smallest: true, combinations: '1' },
    ]);
    const assessment = assess(table('unique'), both);
    expect(assessment).toMatchObject({ rule: 'soaked', categoryId: 'high' });
    expect(assessment.cautions.join()).toContain('contradict each other');
  });

  it('unique has nothing to report where each combination meets one row', () => {
    const rules = [...rows.slice(1), aRule('brief', { contact: 'yes', soaked: 'no' }, 'low')];
    expect(checkTable(table('unique', rules))).toMatchObject({ collisions: [], gaps: [] });
  });

  it('first and priority may overlap, but priority reports a tie that asks for different actions', () => {
    expect(checkTable(table('first')).collisions).toEqual([]);
    expect(checkTable(table('priority')).collisions).toEqual([]);
    const actions = { wash: { words: 'Wash.', grade: 'read' as const, sources: rows[0]?.sources ?? [] } };
    const rules = [
      aRule('a', { contact: 'yes' }, 'high', { then: { category: 'high', actions: ['wash'] } }),
      aRule('b', { soaked: 'yes' }, 'high'),
      aRule('c', {}, 'none'),
    ];
    const tied = compiled(yesNo('contact', 'soaked'), { hitPolicy: 'priority', rules, actions });
    expect(checkTable(tied).collisions.map(({ rules: pair }) => pair)).toEqual([['a', 'b']]);
  });

  it('ranks "not classified" between level 2 and level 3', () => {
    const levels: (Level | null)[] = [0, null, 3, 1, 2];
    expect(levels.map((level) => ({ level })).sort(worstFirst)).toEqual(
      ([3, null, 2, 1, 0] as const).map((level) => ({ level })),
    );
    const rules = (category: string) => [
      aRule('a', { contact: 'yes' }, 'not-classified'),
      aRule('b', { soaked: 'yes' }, category),
      aRule('c', {}, 'none'),
    ];
    expect(assess(table('priority', rules('moderate')), both)).toMatchObject({
      categoryId: 'not-classified',
      level: null,
    });
    expect(assess(table('priority', rules('high')), both)).toMatchObject({ categoryId: 'high', level: 3 });
  });
});
