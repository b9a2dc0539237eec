import type { RankedCategory } from './categories.js';
import { inOrder, type Clauses } from './clauses.js';
import { DiagramBuilder, DiagramTooLarge, flatten, terminal, type FlatDiagram, type Ref } from './diagram.js';
import type { CompiledInput } from './inputs.js';
import { proposeOrders } from './order.js';
import type { Outcome } from './outcome.js';
import { OutcomeStates } from './outcome-states.js';
import { TableDefect } from './refusals.js';
import { choose, OUTSIDE, union } from './sets.js';
import type { DecisionTable } from './table.js';

/** Above this a table is refused: nobody could say that it was proven within the time it is used in. */
export const MOST_NODES = 200_000;
/** What may be built on the way to the final diagram. */
const MOST_WORKING_NODES = 3 * MOST_NODES;
/** A diagram this small is not worth trying another order for. */
const SMALL_ENOUGH = 2_000;
/** How many orders may turn out too large before the table is refused. */
const MOST_TRIES = 2;

/** A table's diagrams, with the order of tests by place among the table's inputs. */
export interface Built {
  /** Nodes built on the way. */
  readonly worked: number;
  readonly order: readonly number[];
  readonly outcomes: readonly Outcome[];
  readonly byOutcome: FlatDiagram;
  readonly byCategory: FlatDiagram;
}

/**
 * Builds the diagrams in the order of tests, of those proposed, that makes them smallest. Throws `TableDefect` when they are
 * too large in all that were tried; the inputs it names are those with the most nodes.
 */
export function buildSmallest(
  table: DecisionTable,
  inputs: readonly CompiledInput[],
  ranking: readonly RankedCategory[],
  clauses: Clauses,
): Built {
  const cubes = [...clauses.rules.flat(), ...clauses.adjustments.flat(), ...clauses.impossible];
  let smallest: Built | undefined;
  const tooLarge: { order: readonly number[]; perLevel: readonly number[] }[] = [];
  for (const order of proposeOrders(inputs.length, cubes)) {
    try {
      // An order that takes more work than the best so far is given up: it hardly ever ends smaller.
      const built = build(
        table,
        inputs,
        ranking,
        inOrder(clauses, order),
        order,
        smallest?.worked ?? MOST_WORKING_NODES,
      );
      if (!smallest || built.byOutcome.nodes.length < smallest.byOutcome.nodes.length) smallest = built;
    } catch (error) {
      if (!(error instanceof DiagramTooLarge)) throw error;
      tooLarge.push({ order, perLevel: error.perLevel });
    }
    if (smallest ? smallest.byOutcome.nodes.length <= SMALL_ENOUGH : tooLarge.length === MOST_TRIES) break;
  }
  if (smallest) return smallest;
  const { order = [], perLevel = [] } = tooLarge[0] ?? {};
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
  mostNodes: number,
): Built {
  const sizes = order.map((place) => inputs[place]?.coding.labels.length ?? 0);
  const builder = new DiagramBuilder(sizes, mostNodes);
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
  return { order, outcomes: final, byOutcome, byCategory: flatten(builder, byCategory), worked: builder.size };
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
