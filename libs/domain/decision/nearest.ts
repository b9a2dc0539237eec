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

/** How many sets of nodes the search for a milder category may look at. */
const MOST_SETS = 20_000;
const NEVER = 1e9;

/**
 * The fewest known facts that would have to be different for the assessed category, the worst reachable one, to be another
 * one while what is unknown stays unknown. `reach` has explored the facts. Of several nearest changes of one fact the first
 * in the order of the table's inputs is taken. Null when no change of known facts moves the category.
 */
export function nearestChange(table: CompiledTable, reach: Reach): NearestCategory | null {
  return changeOfOne(table, reach) ?? changeOfSeveral(table, reach);
}

function isKnown(table: CompiledTable, reach: Reach, level: number): boolean {
  return reach.allowed[level] !== (table.inputs[level] as (typeof table.inputs)[0]).coding.all;
}

function changeOfOne(table: CompiledTable, reach: Reach): NearestCategory | null {
  const current = worstOf(reach.ranks);
  reach.exploreChanges((level) => isKnown(table, reach, level));
  let best: { change: Change; rank: number; place: number } | null = null;
  for (let level = 0; level < table.inputs.length; level++) {
    if (!reach.hasTested(level) || !isKnown(table, reach, level)) continue;
    const { coding, place } = table.inputs[level] as (typeof table.inputs)[0];
    if (best && best.place < place) continue;
    const allowed = reach.allowed[level] as number;
    for (let value = 0; value < coding.labels.length; value++) {
      if ((allowed >> value) & 1) continue;
      const ranks = reach.ranksIf(level, value);
      if (ranks === 0 || worstOf(ranks) === current) continue;
      best = { change: { level, value }, rank: worstOf(ranks), place };
      break;
    }
  }
  return best && { changes: [best.change], rank: best.rank };
}

/**
 * A worse category needs one combination only, so the cheapest path to it is exact. A milder one has to hold for every
 * answer to what is unknown, and one fact is changed for all of them alike: the search follows the set of nodes that they
 * lead to. Looked at node by node the cost can only seem lower than it is, which makes it a bound.
 */
function changeOfSeveral(table: CompiledTable, reach: Reach): NearestCategory | null {
  const costs = new ChangeCosts(table, reach);
  const { root } = table.byCategory;
  const worse = costs.worse(root);
  const milder = costs.milder(root) < worse ? new MilderSearch(table, reach, costs, worse).run() : null;
  const changes = milder ?? (worse < NEVER ? costs.pathToWorse(root) : null);
  return changes && { changes, rank: rankAfter(reach, changes) };
}

function rankAfter(reach: Reach, changes: readonly Change[]): number {
  const before = changes.map(({ level }) => reach.allowed[level] as number);
  for (const { level, value } of changes) reach.allowed[level] = 1 << value;
  const rank = worstOf(reach.explore());
  changes.forEach(({ level }, i) => (reach.allowed[level] = before[i] as number));
  reach.explore();
  return rank;
}

/** For every node, how many known facts have to change below it. */
class ChangeCosts {
  private readonly toWorse: Int32Array;
  private readonly toMilder: Int32Array;

  constructor(
    private readonly table: CompiledTable,
    private readonly reach: Reach,
  ) {
    const { cells, nodes } = table.byCategory;
    this.toWorse = new Int32Array(cells.length);
    this.toMilder = new Int32Array(cells.length);
    const current = worstOf(reach.ranks);
    this.current = current;
    for (let i = nodes.length - 1; i >= 0; i--) {
      const at = nodes[i] as number;
      const level = cells[at] as number;
      const size = (table.inputs[level] as (typeof table.inputs)[0]).coding.labels.length;
      const allowed = reach.allowed[level] as number;
      let worse = NEVER;
      let changed = NEVER;
      let kept = 0;
      for (let value = 0; value < size; value++) {
        const next = cells[at + 1 + value] as Ref;
        const isKept = (allowed >> value) & 1;
        worse = Math.min(worse, this.worse(next) + (isKept ? 0 : 1));
        if (isKept) kept = Math.max(kept, this.milder(next));
        else changed = Math.min(changed, this.milder(next) + 1);
      }
      this.toWorse[at] = worse;
      this.toMilder[at] = Math.min(kept, changed);
    }
  }

  private readonly current: number;

  worse(at: Ref): number {
    return at < 0 ? (ranksAt(at) >> (this.current + 1) !== 0 ? 0 : NEVER) : (this.toWorse[at] as number);
  }

  /** At least as many changes are needed for every possible end to be milder. */
  milder(at: Ref): number {
    return at < 0 ? (ranksAt(at) >> this.current === 0 ? 0 : NEVER) : (this.toMilder[at] as number);
  }

  pathToWorse(root: Ref): Change[] {
    const { cells } = this.table.byCategory;
    const changes: Change[] = [];
    for (let at = root; at >= 0;) {
      const level = cells[at] as number;
      const allowed = this.reach.allowed[level] as number;
      const size = (this.table.inputs[level] as (typeof this.table.inputs)[0]).coding.labels.length;
      let best = -1;
      let cost = NEVER;
      for (let value = 0; value < size; value++) {
        const here = this.worse(cells[at + 1 + value] as Ref) + ((allowed >> value) & 1 ? 0 : 1);
        if (here < cost) [best, cost] = [value, here];
      }
      if (((allowed >> best) & 1) === 0) changes.push({ level, value: best });
      at = cells[at + 1 + best] as Ref;
    }
    return changes;
  }
}

interface Candidate {
  readonly at: readonly Ref[];
  readonly changes: readonly Change[];
}

/** Best-first search for the fewest changes after which every possible end is milder. */
class MilderSearch {
  private readonly queues: Candidate[][] = [];
  private readonly seen = new Map<string, number>();

  constructor(
    private readonly table: CompiledTable,
    private readonly reach: Reach,
    private readonly costs: ChangeCosts,
    private readonly below: number,
  ) {}

  run(): readonly Change[] | null {
    this.offer([this.table.byCategory.root], []);
    let looked = 0;
    for (let cost = 0; cost < this.queues.length && cost < this.below; cost++) {
      const queue = this.queues[cost] ?? [];
      // Taken from the end, while the same queue may still grow: deep candidates first.
      for (let next = queue.pop(); next; next = queue.pop()) {
        if (++looked > MOST_SETS) return null;
        const level = Math.min(...next.at.map((at) => this.reach.levelOf(at)));
        if (level === this.table.inputs.length) return next.changes;
        this.expand(next, level);
      }
    }
    return null;
  }

  private expand({ at, changes }: Candidate, level: number): void {
    const { coding } = this.table.inputs[level] as (typeof this.table.inputs)[0];
    const allowed = this.reach.allowed[level] as number;
    const kept: Ref[] = [];
    for (let value = 0; value < coding.labels.length; value++) {
      const next = at.map((ref) => this.reach.branch(ref, level, value));
      if ((allowed >> value) & 1) kept.push(...next);
      else this.offer(next, [...changes, { level, value }]);
    }
    this.offer(kept, changes);
  }

  private offer(refs: readonly Ref[], changes: readonly Change[]): void {
    const at = [...new Set(refs)].filter((ref) => ref >= 0 || ranksAt(ref) !== 0).sort((a, b) => a - b);
    // Without a possible end the changed facts would contradict each other.
    if (at.length === 0) return;
    const cost = changes.length + Math.max(...at.map((ref) => this.costs.milder(ref)));
    if (cost >= this.below) return;
    const key = at.join();
    if ((this.seen.get(key) ?? NEVER) <= changes.length) return;
    this.seen.set(key, changes.length);
    (this.queues[cost] ??= []).push({ at, changes });
  }
}
