import { codingOf, type AnswerCoding } from './answers.js';
import { rankCategories, type RankedCategory } from './categories.js';
import { inOrder, readClauses, type Clauses } from './clauses.js';
import { DiagramBuilder, DiagramTooLarge, flatten, terminal, type FlatDiagram, type Ref } from './diagram.js';
import { compileInputs, type CompiledInput } from './inputs.js';
import { proposeOrders } from './order.js';
import { describeOutcomes, type Outcome, type OutcomeContent } from './outcome.js';
import { OutcomeStates } from './outcome-states.js';
import { TableDefect } from './refusals.js';
import { choose, OUTSIDE, union } from './sets.js';
import type { DecisionTable, FactVocabulary } from './table.js';

/** Above this a table is refused: nobody could say that it was proven within the time it is used in. */
export const MOST_NODES = 200_000;
/** What may be built on the way to the final diagram. */
const MOST_WORKING_NODES = 5 * MOST_NODES;
/** A diagram this small is not worth trying another order for. */
const SMALL_ENOUGH = 2_000;

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

interface Built {
  readonly order: readonly number[];
  readonly outcomes: readonly Outcome[];
  readonly byOutcome: FlatDiagram;
  readonly byCategory: FlatDiagram;
}

function buildSmallest(
  table: DecisionTable,
  inputs: readonly CompiledInput[],
  ranking: readonly RankedCategory[],
  clauses: Clauses,
): Built {
  const cubes = [...clauses.rules.flat(), ...clauses.adjustments.flat(), ...clauses.impossible];
  let smallest: Built | undefined;
  let tooLarge: { order: readonly number[]; perLevel: readonly number[] } | undefined;
  for (const order of proposeOrders(inputs.length, cubes)) {
    try {
      const built = build(table, inputs, ranking, inOrder(clauses, order), order);
      if (!smallest || built.byOutcome.nodes.length < smallest.byOutcome.nodes.length) smallest = built;
    } catch (error) {
      if (!(error instanceof DiagramTooLarge)) throw error;
      tooLarge ??= { order, perLevel: error.perLevel };
    }
    if (smallest && smallest.byOutcome.nodes.length <= SMALL_ENOUGH) break;
  }
  if (smallest) return smallest;
  const { order = [], perLevel = [] } = tooLarge ?? {};
  const largest = order
    .map((place, level) => ({ fact: inputs[place]?.fact ?? '', nodes: perLevel[level] ?? 0 }))
    .sort((a, b) => b.nodes - a.nodes)
    .slice(0, 5);
  throw new TableDefect(
    table.id,
    `its diagram needs more than ${MOST_NODES.toLocaleString('en')} nodes, most of them for the inputs ` +
      `${largest.map(({ fact }) => fact).join(', ')}.`,
    '/inputs',
    'fewer rules that each name other facts, or a table split in two',
  );
}

function build(
  table: DecisionTable,
  inputs: readonly CompiledInput[],
  ranking: readonly RankedCategory[],
  clauses: Clauses,
  order: readonly number[],
): Built {
  const sizes = order.map((place) => inputs[place]?.coding.labels.length ?? 0);
  const builder = new DiagramBuilder(sizes, MOST_WORKING_NODES);
  const outcomes = new OutcomeStates(table, ranking);
  const base = baseRules(builder, table, clauses, outcomes);
  const adjusted = clauses.adjustments.reduce<Ref>(
    (below, cubes, adjustment) =>
      choose(builder, union(builder, cubes), below, (state) => outcomes.adjusted(state, adjustment)),
    base,
  );
  const possible = union(builder, clauses.impossible);
  const whole = choose(builder, possible, adjusted, () => OUTSIDE);
  // Numbered anew: only what a possible combination can end in is an outcome of this table.
  const final: Outcome[] = [];
  const numbers = new Map<number, number>();
  const renumbered = builder.map(whole, (state) => {
    if (terminal(state) === OUTSIDE) return OUTSIDE;
    if (!numbers.has(state)) numbers.set(state, final.push(outcomes.outcome(state)));
    return terminal(numbers.get(state) as number);
  });
  const byOutcome = flatten(builder, renumbered);
  if (byOutcome.nodes.length > MOST_NODES) throw new DiagramTooLarge(perLevel(byOutcome, sizes));
  const byCategory = builder.map(renumbered, (number) => terminal(number && (final[number - 1]?.category ?? 0) + 1));
  return { order, outcomes: final, byOutcome, byCategory: flatten(builder, byCategory) };
}

function baseRules(builder: DiagramBuilder, table: DecisionTable, clauses: Clauses, outcomes: OutcomeStates): Ref {
  const sets = clauses.rules.map((cubes) => union(builder, cubes));
  const order = sets.map((_, rule) => rule);
  switch (table.hitPolicy) {
    case 'unique':
      return order.reduce<Ref>(
        (below, rule) => choose(builder, sets[rule] as Ref, below, (state) => outcomes.alsoFired(state, rule)),
        outcomes.none,
      );
    case 'first':
      return laid(builder, sets, order, outcomes);
    case 'priority':
      return laid(
        builder,
        sets,
        order.sort((a, b) => outcomes.rankOf(b) - outcomes.rankOf(a) || a - b),
        outcomes,
      );
  }
}

/** The rules one over the other, the first of the list on top. */
function laid(builder: DiagramBuilder, sets: readonly Ref[], order: readonly number[], outcomes: OutcomeStates): Ref {
  return order.reduceRight<Ref>(
    (below, rule) => choose(builder, sets[rule] as Ref, below, () => outcomes.fired(rule)),
    outcomes.none,
  );
}

function perLevel({ cells, nodes }: FlatDiagram, sizes: readonly number[]): number[] {
  const counts = sizes.map(() => 0);
  for (const at of nodes) {
    const level = cells[at] as number;
    counts[level] = (counts[level] as number) + 1;
  }
  return counts;
}
