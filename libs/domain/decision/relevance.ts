import type { Ref } from './diagram.js';
import { isSingle, type Reach } from './reach.js';

/** How often the rarest case below may look; beyond, every question is asked rather than one too few. */
const MOST_LOOKS = 5_000;

/**
 * Which of some unknown inputs can still change the category. An input can when an answer to it narrows what is reachable,
 * or when two possible combinations that differ in nothing else differ in category.
 *
 * Impossible combinations can tie inputs so that none does either by itself (a and b always alike, c and d too, and the
 * category depends on whether a and c are). Then those that narrow after the fewest answers to others are taken: while the
 * category is open there are some, since answering everything settles it.
 *
 * `reach` has explored the facts, and has again when this returns.
 */
export function relevantLevels(reach: Reach, unknown: readonly number[]): readonly number[] {
  const relevant = unknown.filter((level) => narrows(reach, level) || new Difference(reach).in(level));
  return relevant.length > 0 || unknown.length === 0 ? relevant : new TiedInputs(reach, unknown).find();
}

function narrows(reach: Reach, level: number): boolean {
  const possible = reach.possibleValues(level);
  for (let value = 0, rest = possible; rest !== 0; value++, rest >>= 1) {
    if (rest & 1 && reach.ranksIf(level, value) !== reach.ranks) return true;
  }
  return false;
}

/** Finds two possible combinations of different category that differ in one input only. */
class Difference {
  private readonly known = new Map<number, boolean>();

  constructor(private readonly reach: Reach) {}

  in(level: number): boolean {
    const { reach } = this;
    if (!reach.hasTested(level)) return false;
    const values = members(reach.allowed[level] as number);
    for (const at of reach.met) {
      if (reach.levelOf(at) !== level) continue;
      for (const [i, value] of values.entries()) {
        const here = reach.branch(at, level, value);
        for (const other of values.slice(i + 1)) if (this.differ(here, reach.branch(at, level, other))) return true;
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

/** Finds the inputs that narrow what is reachable after the fewest answers to others. */
class TiedInputs {
  private readonly found = new Set<number>();
  private looks = 0;

  constructor(
    private readonly reach: Reach,
    private readonly unknown: readonly number[],
  ) {}

  find(): readonly number[] {
    for (let answers = 1; answers < this.unknown.length && this.found.size === 0; answers++) this.answer(0, answers);
    this.reach.explore();
    const isCutShort = this.looks > MOST_LOOKS;
    return isCutShort ? this.unknown : this.unknown.filter((level) => this.found.has(level));
  }

  /** Tries every way to answer so many of the questions from `first` on. */
  private answer(first: number, answers: number): void {
    const { reach, unknown } = this;
    if (answers === 0) {
      for (const level of unknown) if (narrows(reach, level)) this.found.add(level);
      return;
    }
    for (let i = first; i < unknown.length; i++) {
      const level = unknown[i] as number;
      const before = reach.allowed[level] as number;
      for (const value of members(before)) {
        if (++this.looks > MOST_LOOKS) break;
        reach.allowed[level] = 1 << value;
        if (reach.explore() !== 0) this.answer(i + 1, answers - 1);
      }
      reach.allowed[level] = before;
    }
  }
}

function members(mask: number): number[] {
  const values: number[] = [];
  for (let value = 0; mask >> value !== 0; value++) if ((mask >> value) & 1) values.push(value);
  return values;
}
