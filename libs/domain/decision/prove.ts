import type { CompiledTable } from './compile.js';
import { countByTerminal, sizesOf } from './count.js';
import { DiagramBuilder, flatten, terminal, unflatten, type Ref } from './diagram.js';
import { OUTSIDE, INSIDE, union } from './sets.js';
import { DO_NOT_CARE, ELSEWHERE, SOUGHT, smallestCube } from './smallest-cube.js';
import { NOT_CLASSIFIED } from './table.js';

/** Facts that show something; whatever is not named may be anything that is possible. */
export interface Counterexample {
  /** As a facts file states them; a quantity stands for its whole band. */
  readonly facts: Readonly<Record<string, string>>;
  /** False when a counterexample that names fewer facts may exist. */
  readonly smallest: boolean;
}

export interface Collision extends Counterexample {
  /** The rules that hold together. */
  readonly rules: readonly [string, string];
  /** Possible combinations in which they do, as a decimal string. */
  readonly combinations: string;
}

export interface DeadRule {
  readonly rule: string;
  /** `never-holds`: no possible combination meets it. `always-outranked`: others always come before it. */
  readonly why: 'never-holds' | 'always-outranked';
}

/** What is proven of a table, over all possible combinations of its inputs. Counts are decimal strings. */
export interface TableCheck {
  readonly table: string;
  readonly version: string;
  readonly hash: string;
  /** All combinations of the inputs, the impossible ones included. */
  readonly product: string;
  readonly combinations: string;
  /** Nodes of the diagram. */
  readonly nodes: number;
  /** Smallest first; together they cover every gap unless `gapsAreAll` is false. */
  readonly gaps: readonly Counterexample[];
  readonly gapsAreAll: boolean;
  readonly gapCombinations: string;
  readonly collisions: readonly Collision[];
  /** What the authority itself left open; these are no gaps. */
  readonly notClassified: { readonly combinations: string; readonly example: Counterexample | null };
  readonly deadRules: readonly DeadRule[];
  /** Adjustments that never raise anything. */
  readonly deadAdjustments: readonly string[];
  /** Inputs that no possible combination depends on. */
  readonly idleInputs: readonly string[];
  /** Ids of rules and adjustments that are from memory. */
  readonly remembered: readonly string[];
}

const MOST_GAPS = 10;
const MOST_WORKING_NODES = 2_000_000;

/** Proves a compiled table: that some rule always holds, that no two contradict each other, and that each is needed. */
export function checkTable(compiled: CompiledTable): TableCheck {
  const { table, byOutcome, outcomes, ranking } = compiled;
  const proof = new Proof(compiled);
  const counts = countByTerminal(byOutcome, sizesOf(compiled));
  const total = (includes: (index: number) => boolean): bigint =>
    outcomes.reduce((sum, _, index) => sum + (includes(index) ? (counts.get(index + 1) ?? 0n) : 0n), 0n);
  const isGap = (index: number): boolean => outcomes[index]?.rule === -1;
  const isLeftOpen = (index: number): boolean =>
    !isGap(index) && ranking[outcomes[index]?.category ?? 0]?.id === NOT_CLASSIFIED;
  const gaps = proof.covering(isGap, MOST_GAPS + 1);
  const raising = new Set(outcomes.flatMap(({ adjustments }) => adjustments));
  const tested = new Set(Array.from(byOutcome.nodes, (at) => byOutcome.cells[at] as number));
  return {
    table: table.id,
    version: table.version,
    hash: compiled.hash,
    product: sizesOf(compiled)
      .reduce((product, size) => product * BigInt(size), 1n)
      .toString(),
    combinations: total(() => true).toString(),
    nodes: byOutcome.nodes.length,
    gaps: gaps.slice(0, MOST_GAPS),
    gapsAreAll: gaps.length <= MOST_GAPS,
    gapCombinations: total(isGap).toString(),
    collisions: proof.collisions(),
    notClassified: { combinations: total(isLeftOpen).toString(), example: proof.covering(isLeftOpen, 1)[0] ?? null },
    deadRules: proof.deadRules(),
    deadAdjustments: table.adjustments.filter((_, index) => !raising.has(index)).map(({ id }) => id),
    idleInputs: compiled.inTableOrder
      .filter((level) => !tested.has(level))
      .map((level) => compiled.inputs[level]?.fact ?? ''),
    remembered: [...table.rules, ...table.adjustments]
      .filter(({ grade }) => grade === 'remembered')
      .map(({ id }) => id),
  };
}

class Proof {
  private readonly builder: DiagramBuilder;
  private readonly possible: Ref;
  /** For each rule, the possible combinations in which it holds. */
  private readonly sets: readonly Ref[];

  constructor(private readonly compiled: CompiledTable) {
    const { clauses } = compiled;
    this.builder = new DiagramBuilder(sizesOf(compiled), MOST_WORKING_NODES);
    this.possible = this.builder.map(union(this.builder, clauses.impossible), (member) =>
      member === 0 ? INSIDE : OUTSIDE,
    );
    this.sets = clauses.rules.map((cubes) => this.both(union(this.builder, cubes), this.possible));
  }

  /** Cubes that together cover the combinations ending in the chosen outcomes, the smallest first, at most so many. */
  covering(isSought: (outcome: number) => boolean, most: number): Counterexample[] {
    const whole = unflatten(this.builder, this.compiled.byOutcome);
    let left = this.builder.map(whole, (number) => {
      if (number === 0) return terminal(DO_NOT_CARE);
      return terminal(isSought(number - 1) ? SOUGHT : ELSEWHERE);
    });
    const found: Counterexample[] = [];
    while (found.length < most) {
      const cube = smallestCube(this.builder, left);
      if (!cube) break;
      found.push(this.counterexample(cube.values, cube.isSmallest));
      const masks = new Map([...cube.values].map(([level, value]) => [level, 1 << value]));
      left = this.builder.apply(this.builder.cube(masks, INSIDE, OUTSIDE), left, (member, number) =>
        terminal(member === 1 ? DO_NOT_CARE : number),
      );
    }
    return found;
  }

  /** Under `unique` any two rules that hold together; under `priority` those that tie but ask for other actions. */
  collisions(): Collision[] {
    const { rules, hitPolicy } = this.compiled.table;
    const found: Collision[] = [];
    for (let a = 0; a < rules.length; a++) {
      for (let b = a + 1; b < rules.length; b++) {
        if (hitPolicy === 'first' || (hitPolicy === 'priority' && !this.tieWithOtherActions(a, b))) continue;
        const overlap = this.winning(this.both(this.sets[a] as Ref, this.sets[b] as Ref), a);
        if (overlap !== OUTSIDE) found.push(this.collision(overlap, a, b));
      }
    }
    return found;
  }

  deadRules(): DeadRule[] {
    const { table, outcomes } = this.compiled;
    const firing = new Set(outcomes.map(({ rule }) => rule));
    return table.rules.flatMap(({ id }, rule): DeadRule[] => {
      if (this.sets[rule] === OUTSIDE) return [{ rule: id, why: 'never-holds' }];
      // Under `unique` a rule that never wins is in a collision, and reported as such.
      return firing.has(rule) || table.hitPolicy === 'unique' ? [] : [{ rule: id, why: 'always-outranked' }];
    });
  }

  private tieWithOtherActions(a: number, b: number): boolean {
    const { rules } = this.compiled.table;
    const [one, other] = [rules[a]?.then, rules[b]?.then];
    const actions = (list: readonly string[] = []): string => [...new Set(list)].sort().join();
    return one?.category === other?.category && actions(one?.actions) !== actions(other?.actions);
  }

  /** Under `priority` a tie only counts where no worse category takes both. */
  private winning(set: Ref, rule: number): Ref {
    const { rules, hitPolicy } = this.compiled.table;
    if (hitPolicy !== 'priority') return set;
    const rank = (index: number): number =>
      this.compiled.ranking.findIndex(({ id }) => id === rules[index]?.then.category);
    return rules.reduce<Ref>(
      (left, _, other) => (rank(other) > rank(rule) ? this.without(left, this.sets[other] as Ref) : left),
      set,
    );
  }

  private collision(overlap: Ref, a: number, b: number): Collision {
    const { compiled, builder } = this;
    const sought = builder.apply(overlap, this.possible, (member, possible) =>
      terminal(possible === 0 ? DO_NOT_CARE : member === 1 ? SOUGHT : ELSEWHERE),
    );
    const cube = smallestCube(builder, sought);
    const count = countByTerminal(flatten(builder, overlap), sizesOf(compiled)).get(1) ?? 0n;
    const { rules } = compiled.table;
    return {
      rules: [rules[a]?.id ?? '', rules[b]?.id ?? ''],
      ...this.counterexample(cube?.values ?? new Map(), cube?.isSmallest ?? false),
      combinations: count.toString(),
    };
  }

  private counterexample(values: ReadonlyMap<number, number>, smallest: boolean): Counterexample {
    const { inputs, inTableOrder } = this.compiled;
    const facts: Record<string, string> = {};
    for (const level of inTableOrder) {
      const value = values.get(level);
      const input = inputs[level];
      if (value !== undefined && input) facts[input.fact] = input.coding.samples[value] ?? '';
    }
    return { facts, smallest };
  }

  private both(a: Ref, b: Ref): Ref {
    return this.builder.apply(a, b, (one, other) => (one === 1 && other === 1 ? INSIDE : OUTSIDE));
  }

  private without(a: Ref, b: Ref): Ref {
    return this.builder.apply(a, b, (one, other) => (one === 1 && other === 0 ? INSIDE : OUTSIDE));
  }
}
