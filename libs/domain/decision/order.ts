import type { Cube } from './conditions.js';

/**
 * Proposes orders in which a diagram may test its inputs, by place among the table's inputs; the compiler keeps the one
 * that gives the smallest diagram. First the declared order drawn together by the FORCE heuristic (Aloul, Markov and
 * Sakallah 2003: facts that are named together move next to each other, since a diagram has to remember a fact from where
 * it is tested to where it last matters); then the most named facts first; then the order as declared.
 */
export function proposeOrders(inputs: number, cubes: readonly Cube[]): number[][] {
  const declared = Array.from({ length: inputs }, (_, place) => place);
  const groups = cubes.map((cube) => [...cube.keys()]).filter((group) => group.length > 0);
  const named = declared.map((place) => groups.filter((group) => group.includes(place)).length);
  const frequent = [...declared].sort((a, b) => (named[b] as number) - (named[a] as number));
  return distinct([drawnTogether(declared, groups), drawnTogether(frequent, groups), frequent, declared]);
}

function drawnTogether(start: readonly number[], groups: readonly (readonly number[])[]): number[] {
  let order = [...start];
  let best = order;
  let bestSpan = span(order, groups);
  for (let round = 0; round < 50; round++) {
    const position = positions(order);
    const sums = order.map(() => 0);
    const counts = order.map(() => 0);
    for (const group of groups) {
      const centre = group.reduce((sum, input) => sum + (position[input] as number), 0) / group.length;
      for (const input of group) {
        sums[input] = (sums[input] as number) + centre;
        counts[input] = (counts[input] as number) + 1;
      }
    }
    // An input that nothing names keeps its place at the end.
    const goal = sums.map((sum, input) => (counts[input] === 0 ? Infinity : sum / (counts[input] as number)));
    order = [...order].sort((a, b) => {
      const difference = (goal[a] as number) - (goal[b] as number);
      return difference || (position[a] as number) - (position[b] as number);
    });
    const reached = span(order, groups);
    if (reached >= bestSpan) break;
    [best, bestSpan] = [order, reached];
  }
  return best;
}

function span(order: readonly number[], groups: readonly (readonly number[])[]): number {
  const position = positions(order);
  return groups.reduce((sum, group) => {
    const places = group.map((input) => position[input] as number);
    return sum + Math.max(...places) - Math.min(...places);
  }, 0);
}

function positions(order: readonly number[]): number[] {
  const position: number[] = [];
  order.forEach((input, at) => (position[input] = at));
  return position;
}

function distinct(orders: readonly number[][]): number[][] {
  return [...new Map(orders.map((order) => [order.join(), order])).values()];
}
