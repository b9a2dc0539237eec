import { codingOf, type AnswerCoding } from './answers.js';
import { buildSmallest } from './build.js';
import { rankCategories, type RankedCategory } from './categories.js';
import { inOrder, readClauses, type Clauses } from './clauses.js';
import type { FlatDiagram } from './diagram.js';
import { compileInputs, type CompiledInput } from './inputs.js';
import { describeOutcomes, type Outcome, type OutcomeContent } from './outcome.js';
import { TableDefect } from './refusals.js';
import type { DecisionTable, FactVocabulary } from './table.js';

/**
 * A decision table ready to answer. The diagrams test the inputs level by level; `byOutcome` ends in 0 for a combination
 * that cannot happen, else in an index into `outcomes` plus 1; `byCategory` likewise in ranks plus 1.
 */
export interface CompiledTable {
  readonly table: DecisionTable;
  readonly vocabulary: FactVocabulary;
  readonly hash: string;
  /** By level: in the order in which the diagrams test them. */
  readonly inputs: readonly CompiledInput[];
  /** The levels in the order in which the table lists its inputs. */
  readonly inTableOrder: readonly number[];
  /** How sentences name each fact that the table reads. */
  readonly names: ReadonlyMap<string, string>;
  /** Mildest first. */
  readonly ranking: readonly RankedCategory[];
  readonly outcomes: readonly (Outcome & OutcomeContent)[];
  /** By level. */
  readonly clauses: Clauses;
  readonly byOutcome: FlatDiagram;
  readonly byCategory: FlatDiagram;
  /** How to read every fact of the vocabulary; `level` is -1 for those that this table does not use. */
  readonly facts: ReadonlyMap<string, { readonly coding: AnswerCoding; readonly level: number }>;
}

/**
 * Compiles a table into reduced diagrams, without ever walking the product of its inputs. The order of tests is the
 * smallest that `proposeOrders` leads to. Throws `TableDefect` for an ill-formed table and for one whose diagram has more
 * than 200,000 nodes.
 *
 * Hit policies have the meaning of OMG DMN 1.5, section 8.2.8 (the section is named from memory): `unique` allows one rule
 * to hold; `first` takes the first in order; `priority` takes the worst category among those that hold, and of several
 * rules for that category the first in order.
 *
 * An adjustment raises the category that the base rule gave; of several that hold, the largest raise is taken, once, unless
 * the table says that they add. Never above the table's highest, never what the authority left open.
 */
export function compileTable(table: DecisionTable, vocabulary: FactVocabulary, hash: string): CompiledTable {
  const declared = compileInputs(table, vocabulary);
  const ranking = rankCategories(table);
  const clauses = readClauses(table, declared, ranking);
  const built = buildSmallest(table, declared, ranking, clauses);
  const inputs = built.order.map((place) => declared[place] as CompiledInput);
  const levels = new Map(inputs.map(({ fact }, level) => [fact, level]));
  if (built.outcomes.length === 0) {
    throw new TableDefect(table.id, 'every combination is declared impossible.', '/impossible');
  }
  return {
    table,
    vocabulary,
    hash,
    inputs,
    inTableOrder: declared.map(({ fact }) => levels.get(fact) as number),
    names: new Map(declared.map(({ fact, name }) => [fact, name])),
    ranking,
    outcomes: describeOutcomes(table, ranking, built.outcomes),
    clauses: inOrder(clauses, built.order),
    byOutcome: built.byOutcome,
    byCategory: built.byCategory,
    facts: new Map(
      Object.entries(vocabulary.facts).map(([fact, definition]) => {
        const level = levels.get(fact) ?? -1;
        return [fact, { level, coding: inputs[level]?.coding ?? codingOf(definition) }];
      }),
    ),
  };
}
