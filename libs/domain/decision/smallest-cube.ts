import type { DiagramBuilder, Ref } from './diagram.js';

/** A partial assignment, value by level, all of whose possible completions lie in a set. */
export interface SmallestCube {
  readonly values: ReadonlyMap<number, number>;
  /** False when the search was cut short: the cube is right, but a smaller one may exist. */
  readonly isSmallest: boolean;
}

/** Terminals of a searched diagram. */
export const ELSEWHERE = 0;
export const SOUGHT = 1;
/** Neither helps nor hurts: impossible, or reported before. */
export const DO_NOT_CARE = 2;

const MOST_SETS = 50_000;
const NEVER = 1e9;

interface Candidate {
  readonly at: readonly Ref[];
  readonly values: readonly (readonly [number, number])[];
}

/**
 * The partial assignment that names the fewest inputs and leads into the sought set whatever the others are. An input left
 * open has to hold for all its values at once, so the search follows the set of nodes they lead to; the fewest namings a
 * single node needs are a bound for the set. Null when nothing is sought.
 */
export function smallestCube(builder: DiagramBuilder, root: Ref): SmallestCube | null {
  const bounds = namingBounds(builder, root);
  const queues: Candidate[][] = [];
  const seen = new Map<string, number>();
  const offer = (refs: readonly Ref[], values: Candidate['values']): void => {
    const at = [...new Set(refs)].filter((ref) => ref !== ~DO_NOT_CARE).sort((a, b) => a - b);
    if (at.length === 0) return;
    const cost = values.length + Math.max(...at.map((ref) => bounds(ref)));
    if (cost >= NEVER) return;
    const key = at.join();
    if ((seen.get(key) ?? NEVER) <= values.length) return;
    seen.set(key, values.length);
    (queues[cost] ??= []).push({ at, values });
  };
  offer([root], []);
  let looked = 0;
  for (let cost = 0; cost < queues.length; cost++) {
    const queue = queues[cost] ?? [];
    for (let next = queue.pop(); next; next = queue.pop()) {
      const { at, values } = next;
      const level = Math.min(...at.map((ref) => builder.levelOf(ref)));
      if (level === builder.depth) return { values: new Map(values), isSmallest: true };
      if (++looked > MOST_SETS) return shortestPath(builder, root);
      const everywhere: Ref[] = [];
      for (let value = 0; value < (builder.sizes[level] as number); value++) {
        const there = at.map((ref) => builder.branch(ref, level, value));
        everywhere.push(...there);
        offer(there, [...values, [level, value]]);
      }
      offer(everywhere, values);
    }
  }
  return null;
}

/** For every node, how many inputs have to be named at least so that no path below ends elsewhere. */
function namingBounds(builder: DiagramBuilder, root: Ref): (ref: Ref) => number {
  const bounds = new Map<Ref, number>();
  const bound = (ref: Ref): number => (ref < 0 ? (ref === ~ELSEWHERE ? NEVER : 0) : (bounds.get(ref) as number));
  for (const node of builder.nodesOf(root).reverse()) {
    const level = builder.levelOf(node);
    let open = 0;
    let named = NEVER;
    for (let value = 0; value < (builder.sizes[level] as number); value++) {
      const below = bound(builder.branch(node, level, value));
      open = Math.max(open, below);
      named = Math.min(named, below + 1);
    }
    bounds.set(node, Math.min(open, named));
  }
  return bound;
}

/** The path to the sought terminal with the fewest tests: a right cube, found in one pass. */
function shortestPath(builder: DiagramBuilder, root: Ref): SmallestCube | null {
  const lengths = new Map<Ref, number>();
  const length = (ref: Ref): number => (ref < 0 ? (ref === ~SOUGHT ? 0 : NEVER) : (lengths.get(ref) as number));
  for (const node of builder.nodesOf(root).reverse()) {
    const level = builder.levelOf(node);
    let least = NEVER;
    for (let value = 0; value < (builder.sizes[level] as number); value++) {
      least = Math.min(least, 1 + length(builder.branch(node, level, value)));
    }
    lengths.set(node, least);
  }
  if (length(root) >= NEVER) return null;
  const values = new Map<number, number>();
  for (let at = root; at >= 0;) {
    const level = builder.levelOf(at);
    const here = length(at);
    let value = 0;
    while (1 + length(builder.branch(at, level, value)) !== here) value++;
    values.set(level, value);
    at = builder.branch(at, level, value);
  }
  return { values, isSmallest: false };
}
