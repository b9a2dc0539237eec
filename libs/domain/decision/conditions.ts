import { pointerStep } from '../refusal.js';
import { QuantityCoding } from './answers.js';
import { compareDecimals, exactDecimal } from './decimal.js';
import type { CompiledInput } from './inputs.js';
import { TableDefect } from './refusals.js';
import type { Condition, Conjunction, Decimal, QuantityCondition } from './table.js';

/**
 * A conjunction over finite values: for each fact that it names, by the fact's place among the inputs, the set of values
 * that meets the condition, as a bit mask.
 */
export type Cube = ReadonlyMap<number, number>;

/** Reads conditions against the inputs of one table. Every method throws `TableDefect`. */
export class ConditionReader {
  private readonly byFact: ReadonlyMap<string, CompiledInput>;

  constructor(
    private readonly table: string,
    inputs: readonly CompiledInput[],
  ) {
    this.byFact = new Map(inputs.map((input) => [input.fact, input]));
  }

  /** The cubes of which any suffices. */
  any(when: Conjunction | readonly Conjunction[], pointer: string): Cube[] {
    if (!isList(when)) return [this.all(when, pointer)];
    if (when.length === 0) throw new TableDefect(this.table, 'an empty list of conditions never holds.', pointer);
    return when.map((conjunction, i) => this.all(conjunction, `${pointer}/${i}`));
  }

  all(when: Conjunction, pointer: string): Cube {
    const cube = new Map<number, number>();
    for (const [fact, condition] of Object.entries(when)) {
      const at = pointer + pointerStep(fact);
      const input = this.byFact.get(fact);
      if (!input) throw new TableDefect(this.table, `“${fact}” is not among its inputs.`, at);
      const mask = this.maskOf(condition, input, at);
      if (mask === 0) throw new TableDefect(this.table, `the condition on “${fact}” never holds.`, at);
      if (mask !== input.coding.all) cube.set(input.place, mask);
    }
    return cube;
  }

  private maskOf(condition: Condition, input: CompiledInput, pointer: string): number {
    const { coding } = input;
    if (coding instanceof QuantityCoding) return this.bandsOf(condition, coding, pointer);
    if (typeof condition === 'string' || isList(condition)) return this.valuesOf(condition, input, pointer);
    if ('not' in condition && Object.keys(condition).length === 1) {
      return coding.all & ~this.valuesOf(condition.not, input, `${pointer}/not`);
    }
    throw new TableDefect(
      this.table,
      `“${input.fact}” is no quantity.`,
      pointer,
      'a value, a list of values or {not: …}',
    );
  }

  private valuesOf(values: string | readonly string[], { coding, fact }: CompiledInput, pointer: string): number {
    let mask = 0;
    for (const value of typeof values === 'string' ? [values] : values) {
      const index = coding.valueOf(value);
      if (index < 0) {
        throw new TableDefect(this.table, `“${fact}” has no value “${value}”.`, pointer, coding.labels.join(', '));
      }
      mask |= 1 << index;
    }
    return mask;
  }

  private bandsOf(condition: Condition, coding: QuantityCoding, pointer: string): number {
    const accepted = 'some of {">=": …, ">": …, "<": …, "<=": …}';
    if (typeof condition !== 'object' || isList(condition) || 'not' in condition) {
      throw new TableDefect(this.table, 'a quantity is compared with a cut.', pointer, accepted);
    }
    const comparisons = Object.entries(condition) as [keyof QuantityCondition, Decimal][];
    if (comparisons.length === 0) throw new TableDefect(this.table, 'the condition is empty.', pointer, accepted);
    return comparisons.reduce(
      (mask, [operator, at]) => mask & this.sideOf(operator, at, coding, pointer + pointerStep(operator)),
      coding.all,
    );
  }

  private sideOf(operator: keyof QuantityCondition, at: Decimal, coding: QuantityCoding, pointer: string): number {
    const [inclusive, above] = SIDES[operator] ?? [undefined, false];
    const exact = exactDecimal(at);
    const cut = coding.cuts.findIndex(
      (candidate) => exact && candidate.inclusive === inclusive && compareDecimals(candidate.at, exact) === 0,
    );
    if (inclusive === undefined || cut < 0) {
      const cuts = coding.cuts.map((known) => `${known.inclusive ? '>=' : '>'} ${known.written}`).join(', ');
      throw new TableDefect(this.table, `no cut is declared at ${operator} ${at}.`, pointer, `the sides of: ${cuts}`);
    }
    const below = 2 ** (cut + 1) - 1;
    return above ? coding.all & ~below : below;
  }
}

// `<` is the lower side of a `>=` cut, `<=` that of a `>` cut: [the cut includes its own value, upper side]
const SIDES: Readonly<Record<string, readonly [boolean, boolean]>> = {
  '>=': [true, true],
  '<': [true, false],
  '>': [false, true],
  '<=': [false, false],
};

function isList<T>(value: unknown): value is readonly T[] {
  return Array.isArray(value);
}
