import {
  compileTable,
  type CompiledTable,
  type DecisionTable,
  type FactDefinition,
  type FactVocabulary,
  type Rule,
  type Source,
} from '#domain';

export const ISSUER: Source = { body: 'Issuer', title: 'Guidance', year: '2020', section: 'Table 1' };

/** A rule, valid by default: `aRule('R1', { contact: 'yes' }, 'high')`. */
export function aRule(id: string, when: Rule['when'], category: string, more: Partial<Rule> = {}): Rule {
  return { id, when, then: { category }, words: `Rule ${id} in words`, grade: 'read', sources: [ISSUER], ...more };
}

/** A table with the categories none, low, moderate and high, valid by default. */
export function aTable(more: Partial<DecisionTable>): DecisionTable {
  return {
    id: 'example',
    version: '1',
    authority: 'Issuer',
    title: 'Guidance',
    validFrom: '2020-01-01',
    vocabulary: 'facts/v1',
    hitPolicy: 'first',
    inputs: [],
    categories: [
      { id: 'none', words: 'No risk', level: 0, actions: [] },
      { id: 'low', words: 'Low risk', level: 1, actions: [] },
      { id: 'moderate', words: 'Moderate risk', level: 2, actions: [] },
      { id: 'high', words: 'High risk', level: 3, actions: [] },
    ],
    actions: {},
    impossible: [],
    rules: [],
    adjustments: [],
    adjustmentsAdd: false,
    cautions: [],
    ...more,
  };
}

export function aVocabulary(facts: Readonly<Record<string, FactDefinition>>): FactVocabulary {
  return { version: 'facts/v1', facts };
}

/** Yes/no facts of the given names. */
export function yesNo(...facts: readonly string[]): Record<string, FactDefinition> {
  return Object.fromEntries(facts.map((fact): [string, FactDefinition] => [fact, { kind: 'yesNo' }]));
}

/** Compiles a table over the given facts, which are its inputs unless it names some. */
export function compiled(facts: Readonly<Record<string, FactDefinition>>, more: Partial<DecisionTable>): CompiledTable {
  const inputs = more.inputs ?? Object.keys(facts).map((fact) => ({ fact }));
  return compileTable(aTable({ ...more, inputs }), aVocabulary(facts), 'hash');
}
