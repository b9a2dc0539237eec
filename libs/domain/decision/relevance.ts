import type { Cube } from './conditions.js';
import type { Ref } from './diagram.js';
import { isSingle, type Reach } from './reach.js';

/** How many states the last and rarest search may look at; beyond, the question is asked rather than dropped. */
const MOST_STATES = 20_000;

/**
 * Whether the answer to an input can still change the category: there are answers to some of the other open questions
 * after which an answer to this one narrows what is reachable. `reach` has explored the facts; `values` are the values
 * that are still possible.
 *
 * Mostly the answer narrows by itself. Else it matters when two possible combinations that differ in nothing else differ
 * in category. What is left is inputs tied to others by impossible combinations: there the two may differ in other
 * inputs, too.
 */
export function canChangeCategory(reach: Reach, level: number, values: number, impossible: readonly Cube[]): boolean {
  for (let value = 0, rest = values; rest !== 0; value++, rest >>= 1) {
    if (rest & 1 && reach.ranksIf(level, value) !== reach.ranks) return true;
  }
  if (!reach.hasTested(level)) return false;
  if (new Difference(reach).between(level, values)) return true;
  return isTied(reach, level, impossible) && new TiedDifference(reach).between(level, values);
}

/** Inputs tied to another by an impossible combination that the facts do not rule out already. */
function isTied(reach: Reach, level: number, impossible: readonly Cube[]): boolean {
  return impossible.some(
    (cube) => cube.has(level) && [...cube].every(([at, mask]) => ((reach.allowed[at] as number) & mask) !== 0),
  );
}

/** Finds two possible combinations of different category that differ in one input only. */
class Difference {
  private readonly known = new Map<number, boolean>();

  constructor(private readonly reach: Reach) {}

  between(level: number, values: number): boolean {
    const { reach } = this;
    const choices = members(values);
    for (const at of reach.met) {
      if (reach.levelOf(at) !== level) continue;
      for (const [i, value] of choices.entries()) {
        const here = reach.branch(at, level, value);
        for (const other of choices.slice(i + 1)) if (this.differ(here, reach.branch(at, level, other))) return true;
      }
    }
    return false;
  }

  private differ(a: Ref, b: Ref): boolean {
    const { reach } = this;
    if (a === b) return false;
    const [left, right] = [reach.look(a), reach.look(b)];
    if (left === 0 || right === 0 || (left === right && isSingle(left))) return false;
    if (a < 0 && b < 0) return true;
    // Terminals are few and positions below 2^24, so that each pair has its own number.
    const key = (Math.min(a, b) + 64) * 2 ** 24 + Math.max(a, b) + 64;
    const before = this.known.get(key);
    if (before !== undefined) return before;
    const level = Math.min(reach.levelOf(a), reach.levelOf(b));
    let found = false;
    for (let value = 0, rest = reach.allowed[level] as number; rest !== 0 && !found; value++, rest >>= 1) {
      if (rest & 1) found = this.differ(reach.branch(a, level, value), reach.branch(b, level, value));
    }
    this.known.set(key, found);
    return found;
  }
}

/**
 * Finds possible combinations p and q with different values v and w of the input, such that with everything on which p and
 * q agree answered, w rules out the category of p: among the combinations that share those answers and have w, none ends
 * where p does. `p` and `q` are followed down the diagram together with the set of nodes that those combinations reach.
 */
class TiedDifference {
  private readonly failed = new Set<string>();
  private states = 0;

  constructor(private readonly reach: Reach) {}

  between(level: number, values: number): boolean {
    const root = this.rootOf();
    const choices = members(values);
    return choices.some((v) => choices.some((w) => v !== w && this.search(root, root, [root], level, v, w)));
  }

  private rootOf(): Ref {
    return this.reach.met[0] as Ref;
  }

  private search(p: Ref, q: Ref, others: readonly Ref[], input: number, v: number, w: number): boolean {
    const { reach } = this;
    const fromP = reach.look(p);
    if (fromP === 0 || reach.look(q) === 0) return false;
    const level = Math.min(reach.levelOf(p), reach.levelOf(q), ...others.map((at) => reach.levelOf(at)));
    // Below the input itself, a node shared with the others leads them wherever it leads p.
    if (level > input && others.includes(p)) return false;
    if (level > input && others.every((at) => (reach.look(at) & fromP) === 0)) return true;
    if (p < 0 && level > input && others.every((at) => at < 0)) return false;
    const key = `${v},${w};${p},${q};${others.join()}`;
    if (this.failed.has(key)) return false;
    if (++this.states > MOST_STATES) return true;
    this.failed.add(key);
    const moved = (value: number): Ref[] => others.map((at) => reach.branch(at, level, value));
    if (level === input) {
      return this.search(reach.branch(p, level, v), reach.branch(q, level, w), distinct(moved(w)), input, v, w);
    }
    const allowed = members(reach.allowed[level] as number);
    return allowed.some((i) =>
      allowed.some((j) =>
        this.search(
          reach.branch(p, level, i),
          reach.branch(q, level, j),
          distinct(i === j ? moved(i) : allowed.flatMap(moved)),
          input,
          v,
          w,
        ),
      ),
    );
  }
}

function distinct(refs: readonly Ref[]): Ref[] {
  return [...new Set(refs)].sort((a, b) => a - b);
}

function members(mask: number): number[] {
  const values: number[] = [];
  for (let value = 0; mask >> value !== 0; value++) if ((mask >> value) & 1) values.push(value);
  return values;
}
