/**
 * A reference into a diagram: a node when 0 or above, otherwise the terminal `~reference`.
 */
export type Ref = number;

/** A terminal by its number, as a reference. */
export const terminal = (number: number): Ref => ~number;

/** Thrown when a diagram outgrows its bound; `perLevel` says where the nodes are. */
export class DiagramTooLarge extends Error {
  constructor(readonly perLevel: readonly number[]) {
    super('The diagram is larger than its bound.');
  }
}

/**
 * Builds reduced ordered multi-valued decision diagrams with numbered terminals (Bryant 1986, for inputs of more than two
 * values). Every node of level l branches over `sizes[l]` values, tests come in the order of the levels, no node has only
 * equal branches and no two nodes are the same: so two functions are equal exactly when their references are.
 */
export class DiagramBuilder {
  private readonly levels: number[] = [];
  private readonly starts: number[] = [];
  private children = new Int32Array(1024);
  private used = 0;
  /** Open addressing over node numbers + 1; 0 is free. */
  private table = new Int32Array(1024);

  constructor(
    readonly sizes: readonly number[],
    private readonly mostNodes: number,
  ) {}

  get depth(): number {
    return this.sizes.length;
  }

  /** Nodes built so far. */
  get size(): number {
    return this.levels.length;
  }

  /** The level a reference tests; terminals lie below every level. */
  levelOf(ref: Ref): number {
    return ref < 0 ? this.depth : (this.levels[ref] as number);
  }

  /** Where the value leads from here; a function that does not test the level stays as it is. */
  branch(ref: Ref, level: number, value: number): Ref {
    return ref >= 0 && this.levels[ref] === level
      ? (this.children[(this.starts[ref] as number) + value] as number)
      : ref;
  }

  /** The one node with these branches, or the branch itself when they are all the same. */
  node(level: number, branches: readonly Ref[]): Ref {
    const first = branches[0] as Ref;
    let same = 1;
    while (same < branches.length && branches[same] === first) same++;
    if (same === branches.length) return first;
    let hash = levelHash(level);
    for (let value = 0; value < branches.length; value++) hash = mixed(hash, branches[value] as Ref);
    let slot = settled(hash) & (this.table.length - 1);
    for (let entry; (entry = this.table[slot] as number) !== 0; slot = (slot + 1) & (this.table.length - 1)) {
      if (this.holds(entry - 1, level, branches)) return entry - 1;
    }
    return this.add(level, branches, slot);
  }

  /** The function that is `inside` where every named level has a value of its mask, and `outside` elsewhere. */
  cube(masks: ReadonlyMap<number, number>, inside: Ref, outside: Ref): Ref {
    return [...masks]
      .sort(([a], [b]) => b - a)
      .reduce((below, [level, mask]) => {
        const values = Array.from({ length: this.sizes[level] as number }, (_, value) => value);
        return this.node(
          level,
          values.map((value) => ((mask >> value) & 1 ? below : outside)),
        );
      }, inside);
  }

  /**
   * Combines two functions value by value. `combine` sees two terminals' numbers and gives the reference to stand there;
   * `shortcut` may answer for whole subfunctions, so that they need not be walked.
   */
  apply(a: Ref, b: Ref, combine: (a: number, b: number) => Ref, shortcut?: (a: Ref, b: Ref) => Ref | undefined): Ref {
    const known = new PairMemo();
    const walk = (left: Ref, right: Ref): Ref => {
      const short = shortcut?.(left, right);
      if (short !== undefined) return short;
      if (left < 0 && right < 0) return combine(~left, ~right);
      const before = known.get(left, right);
      if (before !== undefined) return before;
      const level = Math.min(this.levelOf(left), this.levelOf(right));
      const size = this.sizes[level] as number;
      const branches = new Array<Ref>(size);
      for (let value = 0; value < size; value++) {
        branches[value] = walk(this.branch(left, level, value), this.branch(right, level, value));
      }
      const made = this.node(level, branches);
      known.set(left, right, made);
      return made;
    };
    return walk(a, b);
  }

  /** Replaces terminals. */
  map(ref: Ref, replace: (number: number) => Ref): Ref {
    return this.apply(ref, terminal(0), (number) => replace(number));
  }

  /** The nodes that a function is made of, parents before children. */
  nodesOf(ref: Ref): Ref[] {
    const seen = new Set<Ref>();
    const visit = (at: Ref): void => {
      if (at < 0 || seen.has(at)) return;
      seen.add(at);
      const level = this.levelOf(at);
      for (let value = 0; value < (this.sizes[level] as number); value++) visit(this.branch(at, level, value));
    };
    visit(ref);
    return [...seen].sort((a, b) => this.levelOf(a) - this.levelOf(b) || a - b);
  }

  private holds(node: number, level: number, branches: readonly Ref[]): boolean {
    if (this.levels[node] !== level) return false;
    const start = this.starts[node] as number;
    for (let value = 0; value < branches.length; value++) {
      if (this.children[start + value] !== branches[value]) return false;
    }
    return true;
  }

  private add(level: number, branches: readonly Ref[], slot: number): Ref {
    const node = this.levels.length;
    if (node >= this.mostNodes) throw new DiagramTooLarge(this.countPerLevel());
    if (this.used + branches.length > this.children.length) {
      const grown = new Int32Array(this.children.length * 2);
      grown.set(this.children);
      this.children = grown;
    }
    this.levels.push(level);
    this.starts.push(this.used);
    this.children.set(branches, this.used);
    this.used += branches.length;
    this.table[slot] = node + 1;
    if (node * 2 > this.table.length) this.rehash();
    return node;
  }

  private rehash(): void {
    this.table = new Int32Array(this.table.length * 4);
    for (let node = 0; node < this.levels.length; node++) {
      const level = this.levels[node] as number;
      const start = this.starts[node] as number;
      let hash = levelHash(level);
      for (let at = start; at < start + (this.sizes[level] as number); at++)
        hash = mixed(hash, this.children[at] as Ref);
      let slot = settled(hash) & (this.table.length - 1);
      while (this.table[slot] !== 0) slot = (slot + 1) & (this.table.length - 1);
      this.table[slot] = node + 1;
    }
  }

  private countPerLevel(): number[] {
    const counts = this.sizes.map(() => 0);
    for (const level of this.levels) counts[level] = (counts[level] as number) + 1;
    return counts;
  }
}

const levelHash = (level: number): number => Math.imul(level + 1, 0x9e3779b1);
const mixed = (hash: number, ref: Ref): number => Math.imul(hash ^ ref, 0x85ebca6b) ^ (hash >>> 13);
const settled = (hash: number): number => hash ^ (hash >>> 16);

/** Results by pair of references: a hash table in flat arrays, since a large table asks it millions of times. */
class PairMemo {
  /** Left, right and result of each entry. */
  private entries = new Int32Array(3 * 1024);
  private filled = new Uint8Array(1024);
  private count = 0;

  get(left: Ref, right: Ref): Ref | undefined {
    const slot = this.slotOf(left, right);
    return this.filled[slot] === 1 ? (this.entries[3 * slot + 2] as Ref) : undefined;
  }

  set(left: Ref, right: Ref, result: Ref): void {
    if (this.count * 2 > this.filled.length) this.grow();
    this.put(this.slotOf(left, right), left, right, result);
    this.count++;
  }

  private slotOf(left: Ref, right: Ref): number {
    const last = this.filled.length - 1;
    let slot = settled(mixed(mixed(0x9e3779b1, left), right)) & last;
    while (this.filled[slot] === 1 && (this.entries[3 * slot] !== left || this.entries[3 * slot + 1] !== right)) {
      slot = (slot + 1) & last;
    }
    return slot;
  }

  private put(slot: number, left: Ref, right: Ref, result: Ref): void {
    this.filled[slot] = 1;
    this.entries[3 * slot] = left;
    this.entries[3 * slot + 1] = right;
    this.entries[3 * slot + 2] = result;
  }

  private grow(): void {
    const { entries, filled } = this;
    this.entries = new Int32Array(entries.length * 4);
    this.filled = new Uint8Array(filled.length * 4);
    for (let slot = 0; slot < filled.length; slot++) {
      if (filled[slot] === 0) continue;
      const [left, right] = [entries[3 * slot] as Ref, entries[3 * slot + 1] as Ref];
      this.put(this.slotOf(left, right), left, right, entries[3 * slot + 2] as Ref);
    }
  }
}

/**
 * A diagram laid out for reading: node after node in one array, each its level followed by one reference a value.
 * Parents come before children, so a pass from either end is a pass in order.
 */
export interface FlatDiagram {
  readonly cells: Int32Array;
  readonly root: Ref;
  /** Where each node starts. */
  readonly nodes: Int32Array;
}

/** Lays one function out; node references become positions in `cells`. */
export function flatten(builder: DiagramBuilder, root: Ref): FlatDiagram {
  const order = builder.nodesOf(root);
  const nodes = new Int32Array(order.length);
  const positions = new Map<Ref, number>();
  let end = 0;
  order.forEach((node, i) => {
    nodes[i] = end;
    positions.set(node, end);
    end += 1 + (builder.sizes[builder.levelOf(node)] as number);
  });
  const place = (ref: Ref): Ref => (ref < 0 ? ref : (positions.get(ref) as number));
  const cells = new Int32Array(end);
  for (const node of order) {
    const at = place(node);
    const level = builder.levelOf(node);
    cells[at] = level;
    for (let value = 0; value < (builder.sizes[level] as number); value++) {
      cells[at + 1 + value] = place(builder.branch(node, level, value));
    }
  }
  return { cells, root: place(root), nodes };
}

/** Takes a laid-out diagram back into a builder. */
export function unflatten(builder: DiagramBuilder, { cells, root, nodes }: FlatDiagram): Ref {
  const taken = new Map<number, Ref>();
  const ref = (old: Ref): Ref => (old < 0 ? old : (taken.get(old) as Ref));
  for (let i = nodes.length - 1; i >= 0; i--) {
    const at = nodes[i] as number;
    const level = cells[at] as number;
    const size = builder.sizes[level] as number;
    taken.set(at, builder.node(level, Array.from(cells.subarray(at + 1, at + 1 + size), ref)));
  }
  return ref(root);
}
