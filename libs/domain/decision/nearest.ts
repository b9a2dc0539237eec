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

/** How far the search for a milder category may go, and after how much of it remembering dead ends begins to pay. */
const MOST_STEPS = 100_000;
const SHORT_SEARCH = 64;
/** More changes than any table has inputs. */
const NEVER = 10_000;

/**
 * Finds the fewest known facts that would have to be different for the assessed category, the worst reachable one, to be
 * another one while what is unknown stays unknown. One instance serves one table.
 */
export class NearestChange {
  /** For every node, how many known facts have to change below it at least. */
  private readonly toWorse: Int16Array;
  private readonly toMilder: Int16Array;
  private readonly sizes: Int32Array;
  private current = 0;
  private steps = 0;
  private readonly deadEnds = new Set<string>();
  private readonly path: Change[] = [];

  constructor(
    private readonly table: CompiledTable,
    private readonly reach: Reach,
  ) {
    this.toWorse = new Int16Array(table.byCategory.cells.length);
    this.toMilder = new Int16Array(table.byCategory.cells.length);
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
    for (let most = this.milder(root); most < worse && most < NEVER; most++) {
      this.steps = 0;
      this.path.length = 0;
      this.deadEnds.clear();
      if (this.reachesMilder([root], most)) return this.named([...this.path].reverse());
      // Cut short or not to be had: a worse category, if any, is then the nearest that is known.
      if (this.steps > MOST_STEPS || most > this.sizes.length) break;
    }
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
    const { toWorse, toMilder, sizes } = this;
    for (let i = nodes.length - 1; i >= 0; i--) {
      const at = nodes[i] as number;
      const level = cells[at] as number;
      const size = sizes[level] as number;
      const allowed = this.reach.allowed[level] as number;
      let worse = NEVER;
      let changed = NEVER;
      let kept = 0;
      for (let value = 0; value < size; value++) {
        const next = cells[at + 1 + value] as Ref;
        const toWorseThere = this.worse(next);
        const toMilderThere = this.milder(next);
        if ((allowed >> value) & 1) {
          if (toWorseThere < worse) worse = toWorseThere;
          if (toMilderThere > kept) kept = toMilderThere;
        } else {
          if (toWorseThere + 1 < worse) worse = toWorseThere + 1;
          if (toMilderThere + 1 < changed) changed = toMilderThere + 1;
        }
      }
      toWorse[at] = worse;
      toMilder[at] = Math.min(kept, changed);
    }
  }

  private worse(at: Ref): number {
    if (at >= 0) return this.toWorse[at] as number;
    return ranksAt(at) >> (this.current + 1) !== 0 ? 0 : NEVER;
  }

  /** At least as many changes are needed for every possible end below to be milder. */
  private milder(at: Ref): number {
    if (at >= 0) return this.toMilder[at] as number;
    return ranksAt(at) >> this.current === 0 ? 0 : NEVER;
  }

  /** Whether so many changes make every possible end below these nodes milder; they are then on `path`, last first. */
  private reachesMilder(at: readonly Ref[], most: number): boolean {
    // Without a possible end the changed facts would contradict each other.
    if (at.length === 0 || ++this.steps > MOST_STEPS) return false;
    let level = this.sizes.length;
    for (const ref of at) {
      if (this.milder(ref) > most) return false;
      level = Math.min(level, this.reach.levelOf(ref));
    }
    if (level === this.sizes.length) return true;
    const key = this.steps > SHORT_SEARCH ? `${most}:${[...at].sort((a, b) => a - b).join()}` : '';
    if (key !== '' && this.deadEnds.has(key)) return false;
    const allowed = this.reach.allowed[level] as number;
    if (this.reachesMilder(this.below(at, level, allowed), most)) return true;
    for (let value = 0; most > 0 && value < (this.sizes[level] as number); value++) {
      if ((allowed >> value) & 1 || !this.reachesMilder(this.below(at, level, 1 << value), most - 1)) continue;
      this.path.push({ level, value });
      return true;
    }
    if (key !== '') this.deadEnds.add(key);
    return false;
  }

  /** Where some values of a level lead from a set of nodes, without what cannot happen. */
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
    return next;
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
