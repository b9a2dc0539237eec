import type { CompiledTable } from './compile.js';
import type { Ref } from './diagram.js';

/** The categories at a terminal of `byCategory`, as a set of ranks; none where the combination cannot happen. */
export function ranksAt(ref: Ref): number {
  return (1 << ~ref) >> 1;
}

/** The highest rank of a set that is not empty. */
export function worstOf(ranks: number): number {
  return 31 - Math.clz32(ranks);
}

/** Whether a set has exactly one member. */
export function isSingle(ranks: number): boolean {
  return ranks !== 0 && (ranks & (ranks - 1)) === 0;
}

/**
 * What is still reachable in a table while every input is only known to be one of some values. One walk over the nodes
 * that are reached answers it exactly, for the whole and for each single answer: what lies beyond a node counts for the
 * value that leads there, and an edge that passes a level untested counts for every value of that level. Combinations that
 * cannot happen end in no category, so answers that exclude each other are excluded here too.
 *
 * One instance serves one table again and again; every `explore` forgets the one before.
 */
export class Reach {
  /** The values still possible, by level. */
  readonly allowed: Int32Array;
  /** The set of reachable ranks after `explore`; empty when nothing that is possible fits the facts. */
  ranks = 0;

  /** All values, by level. */
  private readonly everything: Int32Array;
  private readonly cells: Int32Array;
  private readonly root: Ref;
  private readonly depth: number;
  /** Where a level's values start in `through`. */
  private readonly bases: Int32Array;
  /** Ranks reached through a node that tests the level, by level and value. */
  private readonly through: Int32Array;
  /** Ranks reached without testing the level. */
  private readonly past: Int32Array;
  private readonly found: Int32Array;
  private readonly stamps: Int32Array;
  private readonly tested: Int32Array;
  private readonly visited: number[] = [];
  private turn = 0;

  constructor(table: CompiledTable) {
    const { cells, root } = table.byCategory;
    const sizes = table.inputs.map(({ coding }) => coding.labels.length);
    this.cells = cells;
    this.root = root;
    this.depth = sizes.length;
    this.allowed = new Int32Array(this.depth);
    this.everything = Int32Array.from(table.inputs, ({ coding }) => coding.all);
    this.bases = new Int32Array(this.depth + 1);
    sizes.forEach((size, level) => (this.bases[level + 1] = (this.bases[level] as number) + size));
    this.through = new Int32Array(this.bases[this.depth] as number);
    this.past = new Int32Array(this.depth);
    this.tested = new Int32Array(this.depth);
    this.found = new Int32Array(cells.length);
    this.stamps = new Int32Array(cells.length);
  }

  /** Walks from the root along the allowed values. */
  explore(): number {
    this.turn = (this.turn + 1) | 0;
    this.through.fill(0);
    this.past.fill(0);
    this.visited.length = 0;
    this.ranks = this.walk(this.root);
    this.pass(0, this.levelOf(this.root), this.ranks);
    return this.ranks;
  }

  /** The reachable ranks if this one input had this value and the others stayed as they are. Valid for allowed values. */
  ranksIf(level: number, value: number): number {
    return (this.through[(this.bases[level] as number) + value] as number) | (this.past[level] as number);
  }

  /** The values of an input that some possible combination still has. */
  possibleValues(level: number): number {
    const allowed = this.allowed[level] as number;
    let possible = 0;
    for (let value = 0; allowed >> value !== 0; value++) {
      if ((allowed >> value) & 1 && this.ranksIf(level, value) !== 0) possible |= 1 << value;
    }
    return possible;
  }

  /** Whether the walk had to look at this input at all. */
  hasTested(level: number): boolean {
    return this.tested[level] === this.turn;
  }

  /** Whether the facts rule out anything at all here. */
  isKnown(level: number): boolean {
    return this.allowed[level] !== this.everything[level];
  }

  /** The nodes met by `explore`. */
  get met(): readonly Ref[] {
    return this.visited;
  }

  /** Makes `ranksIf` valid for the values that the facts rule out, too: what would be reachable had one fact been other. */
  exploreChanges(): void {
    const met = this.visited.length;
    for (let i = 0; i < met; i++) {
      const at = this.visited[i] as Ref;
      const level = this.cells[at] as number;
      const allowed = this.allowed[level] as number;
      if (allowed === this.everything[level]) continue;
      const base = this.bases[level] as number;
      const size = (this.bases[level + 1] as number) - base;
      for (let value = 0; value < size; value++) {
        if ((allowed >> value) & 1) continue;
        this.through[base + value] =
          (this.through[base + value] as number) | this.look(this.cells[at + 1 + value] as Ref);
      }
    }
  }

  /** The ranks reachable from a node along the allowed values. */
  look(at: Ref): number {
    if (at < 0) return ranksAt(at);
    if (this.stamps[at] === this.turn) return this.found[at] as number;
    let allowed = this.allowed[this.cells[at] as number] as number;
    let ranks = 0;
    for (let edge = at + 1; allowed !== 0; edge++, allowed >>= 1) {
      if (allowed & 1) ranks |= this.look(this.cells[edge] as Ref);
    }
    this.stamps[at] = this.turn;
    return (this.found[at] = ranks);
  }

  levelOf(at: Ref): number {
    return at < 0 ? this.depth : (this.cells[at] as number);
  }

  branch(at: Ref, level: number, value: number): Ref {
    return at >= 0 && this.cells[at] === level ? (this.cells[at + 1 + value] as Ref) : at;
  }

  private walk(at: Ref): number {
    if (at < 0) return ranksAt(at);
    if (this.stamps[at] === this.turn) return this.found[at] as number;
    const level = this.cells[at] as number;
    this.visited.push(at);
    this.tested[level] = this.turn;
    let allowed = this.allowed[level] as number;
    let all = 0;
    for (let value = 0; allowed !== 0; value++, allowed >>= 1) {
      if ((allowed & 1) === 0) continue;
      const next = this.cells[at + 1 + value] as Ref;
      const ranks = this.walk(next);
      all |= ranks;
      const slot = (this.bases[level] as number) + value;
      this.through[slot] = (this.through[slot] as number) | ranks;
      this.pass(level + 1, this.levelOf(next), ranks);
    }
    this.stamps[at] = this.turn;
    return (this.found[at] = all);
  }

  private pass(from: number, to: number, ranks: number): void {
    for (let level = from; level < to; level++) this.past[level] = (this.past[level] as number) | ranks;
  }
}
