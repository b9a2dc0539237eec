import type { CompiledTable } from './compile.js';
import type { Ref } from './diagram.js';
import { ranksAt, worstOf, type Reach } from './reach.js';

/** A known fact with another value. */
export interface Change {
  readonly level: number;
  readonly value: number;
}

export interface NearestCategory {
  readonly changes: readonly Change[];
  /** The rank that the worst reachable category then has. */
  readonly rank: number;
}

/** How many sets of nodes the search for a milder category may meet; tables as they are printed need some hundred. */
const MOST_SETS = 20_000;
/** More changes than any table has inputs. */
const NEVER = 10_000;

/**
 * Finds the fewest known facts that would have to be different for the assessed category, the worst reachable one, to be
 * another one while what is unknown stays unknown. One instance serves one table.
 */
export class NearestChange {
  /** For every node, how many known facts have to change below it at least: for some end to be worse. */
  private readonly toWorse: Int16Array;
  /** For every possible end below to be milder, where none at all will do, too; and with one at least. */
  private readonly toMilder: Int16Array;
  private readonly toMilderEnd: Int16Array;
  private readonly sizes: Int32Array;
  private current = 0;
  /** By set of nodes, the fewest changes that make every possible end below milder, or how many at least. */
  private readonly cheapest = new Map<string, { readonly isExact: boolean; readonly changes: number }>();

  constructor(
    private readonly table: CompiledTable,
    private readonly reach: Reach,
  ) {
    this.toWorse = new Int16Array(table.byCategory.cells.length);
    this.toMilder = new Int16Array(table.byCategory.cells.length);
    this.toMilderEnd = new Int16Array(table.byCategory.cells.length);
    this.sizes = Int32Array.from(table.inputs, ({ coding }) => coding.labels.length);
  }

  /**
   * The nearest change from the facts that `reach` has explored. Of several changes of one fact the first in the order of
   * the table's inputs is taken. Null when no change of known facts moves the category.
   */
  find(): NearestCategory | null {
    this.current = worstOf(this.reach.ranks);
    return this.changeOfOne() ?? this.changeOfSeveral();
  }

  private changeOfOne(): NearestCategory | null {
    const { reach, table, sizes } = this;
    reach.exploreChanges();
    for (const level of table.inTableOrder) {
      if (!reach.hasTested(level) || !reach.isKnown(level)) continue;
      const allowed = reach.allowed[level] as number;
      for (let value = 0; value < (sizes[level] as number); value++) {
        if ((allowed >> value) & 1) continue;
        const ranks = reach.ranksIf(level, value);
        if (ranks !== 0 && worstOf(ranks) !== this.current)
          return { changes: [{ level, value }], rank: worstOf(ranks) };
      }
    }
    return null;
  }

  /**
   * A worse category needs one combination only, so the cheapest path to it is exact. A milder one has to hold for every
   * answer to what is unknown, and a fact is changed for all of them alike: the search follows the set of nodes that they
   * lead to. Looked at node by node the cost can only seem lower than it is, which makes it a bound.
   */
  private changeOfSeveral(): NearestCategory | null {
    const { root } = this.table.byCategory;
    this.countChanges();
    const worse = this.worse(root);
    this.cheapest.clear();
    const milder = this.changesToMilder([root], Math.min(worse - 1, this.sizes.length));
    if (milder < NEVER) return this.named(this.pathToMilder([root], milder));
    return worse < NEVER ? this.named(this.pathToWorse(root)) : null;
  }

  private named(changes: readonly Change[]): NearestCategory {
    const { allowed } = this.reach;
    const before = changes.map(({ level }) => allowed[level] as number);
    for (const { level, value } of changes) allowed[level] = 1 << value;
    const rank = worstOf(this.reach.explore());
    changes.forEach(({ level }, i) => (allowed[level] = before[i] as number));
    this.reach.explore();
    return { changes, rank };
  }

  private countChanges(): void {
    const { cells, nodes } = this.table.byCategory;
    for (let i = nodes.length - 1; i >= 0; i--) {
      const at = nodes[i] as number;
      const level = cells[at] as number;
      const allowed = this.reach.allowed[level] as number;
      let worse = NEVER;
      let kept = 0;
      let keptEnd = NEVER;
      let changed = NEVER;
      let changedEnd = NEVER;
      for (let value = 0; value < (this.sizes[level] as number); value++) {
        const next = cells[at + 1 + value] as Ref;
        if ((allowed >> value) & 1) {
          worse = Math.min(worse, this.worse(next));
          kept = Math.max(kept, this.milder(next));
          keptEnd = Math.min(keptEnd, this.milderEnd(next));
        } else {
          worse = Math.min(worse, this.worse(next) + 1);
          changed = Math.min(changed, this.milder(next) + 1);
          changedEnd = Math.min(changedEnd, this.milderEnd(next) + 1);
        }
      }
      this.toWorse[at] = worse;
      this.toMilder[at] = Math.min(kept, changed);
      this.toMilderEnd[at] = Math.min(Math.max(kept, keptEnd), changedEnd);
    }
  }

  private worse(at: Ref): number {
    if (at >= 0) return this.toWorse[at] as number;
    return ranksAt(at) >> (this.current + 1) !== 0 ? 0 : NEVER;
  }

  private milder(at: Ref): number {
    if (at >= 0) return this.toMilder[at] as number;
    return ranksAt(at) >> this.current === 0 ? 0 : NEVER;
  }

  private milderEnd(at: Ref): number {
    if (at >= 0) return this.toMilderEnd[at] as number;
    return at !== IMPOSSIBLE && ranksAt(at) >> this.current === 0 ? 0 : NEVER;
  }

  /** The fewest changes that make every possible end below these nodes milder, if so many do; else `NEVER`. */
  private changesToMilder(at: readonly Ref[], most: number): number {
    const level = this.levelOf(at);
    let least = 0;
    // Without a possible end the changed facts would contradict each other.
    let leastEnd = NEVER;
    for (const ref of at) {
      least = Math.max(least, this.milder(ref));
      leastEnd = Math.min(leastEnd, this.milderEnd(ref));
    }
    least = Math.max(least, leastEnd);
    if (least > most) return NEVER;
    if (level === this.sizes.length) return least;
    const key = at.join();
    const known = this.cheapest.get(key);
    if (known !== undefined && (known.isExact || known.changes > most)) {
      return known.changes <= most ? known.changes : NEVER;
    }
    if (this.cheapest.size >= MOST_SETS) return NEVER;
    const allowed = this.reach.allowed[level] as number;
    let cost = this.changesToMilder(this.below(at, level, allowed), most);
    for (let value = 0; cost > least && value < (this.sizes[level] as number); value++) {
      if ((allowed >> value) & 1) continue;
      const fewer = Math.min(most, cost - 1) - 1;
      cost = Math.min(cost, 1 + this.changesToMilder(this.below(at, level, 1 << value), fewer));
    }
    const isExact = cost <= most;
    this.cheapest.set(key, { isExact, changes: isExact ? cost : most + 1 });
    return isExact ? cost : NEVER;
  }

  private pathToMilder(root: readonly Ref[], cost: number): Change[] {
    const changes: Change[] = [];
    let left = cost;
    for (let at = root, level = this.levelOf(at); level < this.sizes.length; level = this.levelOf(at)) {
      const allowed = this.reach.allowed[level] as number;
      let next = this.below(at, level, allowed);
      for (let value = 0; this.changesToMilder(next, left) > left && value < (this.sizes[level] as number); value++) {
        if ((allowed >> value) & 1) continue;
        const changed = this.below(at, level, 1 << value);
        if (this.changesToMilder(changed, left - 1) >= left) continue;
        changes.push({ level, value });
        left--;
        next = changed;
      }
      at = next;
    }
    return changes;
  }

  private levelOf(at: readonly Ref[]): number {
    let level = this.sizes.length;
    for (const ref of at) level = Math.min(level, this.reach.levelOf(ref));
    return level;
  }

  /** Where some values of a level lead from a set of nodes, in order, without what cannot happen. */
  private below(at: readonly Ref[], level: number, values: number): Ref[] {
    const next: Ref[] = [];
    for (const ref of at) {
      for (let value = 0, rest = values; rest !== 0; value++, rest >>= 1) {
        if ((rest & 1) === 0) continue;
        const there = this.reach.branch(ref, level, value);
        if (there !== IMPOSSIBLE && !next.includes(there)) next.push(there);
        if (there === ref) break;
      }
    }
    return next.sort((a, b) => a - b);
  }

  private pathToWorse(root: Ref): Change[] {
    const { cells } = this.table.byCategory;
    const changes: Change[] = [];
    for (let at = root; at >= 0;) {
      const level = cells[at] as number;
      const allowed = this.reach.allowed[level] as number;
      let best = 0;
      let cost = Infinity;
      for (let value = 0; value < (this.sizes[level] as number); value++) {
        const here = this.worse(cells[at + 1 + value] as Ref) + ((allowed >> value) & 1 ? 0 : 1);
        if (here < cost) [best, cost] = [value, here];
      }
      if (((allowed >> best) & 1) === 0) changes.push({ level, value: best });
      at = cells[at + 1 + best] as Ref;
    }
    return changes;
  }
}

/** The terminal of a combination that cannot happen. */
const IMPOSSIBLE = ~0;
