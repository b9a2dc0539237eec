import { pointerStep } from '../refusal.js';
import { compareDecimals, exactDecimal, midpoint, type ExactDecimal } from './decimal.js';
import { UnacceptableAnswer } from './refusals.js';
import type { CutPoint, Decimal, FactAnswer, FactDefinition, QuantityRange } from './table.js';

/** Values are numbered from 0; a set of values is a bit mask, so a fact has at most this many. */
export const MOST_VALUES = 31;

/** The finite values of one fact, and how an answer becomes a set of them. */
export interface AnswerCoding {
  readonly kind: FactDefinition['kind'];
  /** Each value in words; for a quantity, its band. */
  readonly labels: readonly string[];
  /** Each value as a facts file may state it; for a quantity, a number inside the band. */
  readonly samples: readonly string[];
  /** The set of all values: what is possible while the fact is unknown. */
  readonly all: number;
  /** What is accepted, in plain words. */
  readonly accepted: string;
  /** The values that an answer leaves possible. Refuses an answer that the fact does not take. */
  encode(answer: FactAnswer, fact: string): number;
  /** The one value of a definite, ordinary answer, or -1: then `encode` has to look. The fast path of classification. */
  valueOf(answer: FactAnswer): number;
}

/** The coding of a fact; for a quantity over the given cuts, which may be none. */
export function codingOf(definition: FactDefinition, cuts: readonly CutPoint[] = []): AnswerCoding {
  switch (definition.kind) {
    case 'yesNo':
      return new ChoiceCoding('yesNo', ['yes', 'no']);
    case 'choice':
      return new ChoiceCoding('choice', definition.values);
    case 'quantity':
      return new QuantityCoding(definition, cuts);
  }
}

function isUnknown(answer: unknown): answer is null | undefined | 'unknown' {
  return answer === undefined || answer === null || answer === 'unknown';
}

class ChoiceCoding implements AnswerCoding {
  readonly samples: readonly string[];
  readonly all: number;
  readonly accepted: string;

  constructor(
    readonly kind: 'yesNo' | 'choice',
    readonly labels: readonly string[],
  ) {
    this.samples = labels;
    this.all = 2 ** labels.length - 1;
    this.accepted = `one of: ${labels.join(', ')}, unknown`;
  }

  encode(answer: FactAnswer, fact: string): number {
    if (isUnknown(answer)) return this.all;
    const value = this.valueOf(answer);
    if (value < 0) throw new UnacceptableAnswer(pointerStep(fact), this.accepted);
    return 1 << value;
  }

  valueOf(answer: FactAnswer): number {
    return this.labels.indexOf(answer as string);
  }
}

interface Cut {
  readonly at: ExactDecimal;
  readonly written: Decimal;
  readonly inclusive: boolean;
}

/**
 * A quantity over cut points. Band 0 lies below every cut, band i above the first i cuts. Everything is compared
 * exactly: as doubles where the cut survives the way into a double and back (distinct doubles have distinct shortest
 * decimals in the same order), as integers otherwise.
 */
export class QuantityCoding implements AnswerCoding {
  readonly kind = 'quantity';
  readonly labels: readonly string[];
  readonly samples: readonly string[];
  readonly all: number;
  readonly accepted: string;
  readonly cuts: readonly Cut[];
  private readonly min: ExactDecimal;
  private readonly max: ExactDecimal;
  /** The cuts as doubles, or null when one of them would lose digits. */
  private readonly doubles: Float64Array | null;
  private readonly least: number;
  private readonly most: number;

  constructor(definition: Extract<FactDefinition, { kind: 'quantity' }>, cuts: readonly CutPoint[]) {
    this.min = required(definition.min);
    this.max = required(definition.max);
    this.cuts = cuts
      .map((cut) => ({ at: required(cut.at), written: cut.at, inclusive: cut.operator === '>=' }))
      .sort((a, b) => compareDecimals(a.at, b.at) || Number(b.inclusive) - Number(a.inclusive));
    this.all = 2 ** (this.cuts.length + 1) - 1;
    this.labels = this.bands((from, to) => bandLabel(from, to, definition.unit));
    this.samples = this.bands((from, to) => this.sampleOf(from, to, definition));
    this.accepted = `a number of ${definition.unit} from ${definition.min} to ${definition.max}, {"min":…,"max":…}, or unknown`;
    const limits = [this.min, this.max, ...this.cuts.map(({ at }) => at)];
    const doubles = [definition.min, definition.max, ...this.cuts.map((cut) => cut.written)].map(Number);
    const kept = doubles.every((double, i) => {
      const back = exactDecimal(double);
      const limit = limits[i];
      return back !== undefined && limit !== undefined && compareDecimals(back, limit) === 0;
    });
    this.doubles = kept ? Float64Array.from(doubles.slice(2)) : null;
    this.least = kept ? Number(definition.min) : NaN;
    this.most = kept ? Number(definition.max) : NaN;
  }

  encode(answer: FactAnswer, fact: string): number {
    if (isUnknown(answer)) return this.all;
    if (typeof answer === 'object') return this.encodeRange(answer, fact);
    const band = this.valueOf(answer);
    return 1 << (band >= 0 ? band : this.bandOf(answer, pointerStep(fact)));
  }

  valueOf(answer: FactAnswer): number {
    // NaN limits make both comparisons false, and a NaN answer as well: the slow path then looks exactly.
    if (typeof answer !== 'number' || !(answer >= this.least && answer <= this.most)) return -1;
    const doubles = this.doubles;
    if (doubles === null) return -1;
    let band = 0;
    for (; band < doubles.length; band++) {
      const at = doubles[band] as number;
      if (answer < at || (answer === at && this.cuts[band]?.inclusive === false)) break;
    }
    return band;
  }

  private encodeRange(range: QuantityRange, fact: string): number {
    const pointer = pointerStep(fact);
    if (Array.isArray(range)) throw new UnacceptableAnswer(pointer, this.accepted);
    for (const key of Object.keys(range)) {
      if (key !== 'min' && key !== 'max') throw new UnacceptableAnswer(pointer + pointerStep(key), this.accepted);
    }
    const from = isUnknown(range.min) ? 0 : this.bandOf(range.min, `${pointer}/min`);
    const to = isUnknown(range.max) ? this.cuts.length : this.bandOf(range.max, `${pointer}/max`);
    if (!isUnknown(range.min) && !isUnknown(range.max)) {
      const [min, max] = [exactDecimal(range.min), exactDecimal(range.max)];
      if (min && max && compareDecimals(min, max) > 0) {
        throw new UnacceptableAnswer(pointer, `${this.accepted}; "min" not above "max"`);
      }
    }
    return (2 ** (to + 1) - 1) & ~(2 ** from - 1);
  }

  private bandOf(answer: string | number, pointer: string): number {
    const exact = typeof answer === 'number' || typeof answer === 'string' ? exactDecimal(answer) : undefined;
    if (!exact || compareDecimals(exact, this.min) < 0 || compareDecimals(exact, this.max) > 0) {
      throw new UnacceptableAnswer(pointer, this.accepted);
    }
    return this.cuts.filter(({ at, inclusive }) => compareDecimals(exact, at) >= (inclusive ? 0 : 1)).length;
  }

  private bands(make: (from: Cut | undefined, to: Cut | undefined) => string): string[] {
    return Array.from({ length: this.cuts.length + 1 }, (_, band) => make(this.cuts[band - 1], this.cuts[band]));
  }

  private sampleOf(from: Cut | undefined, to: Cut | undefined, { min, max }: { min: Decimal; max: Decimal }): Decimal {
    if (from?.inclusive) return from.written;
    if (to && !to.inclusive) return to.written;
    if (!from) return min;
    if (!to) return max;
    return midpoint(from.at, to.at);
  }
}

function bandLabel(from: Cut | undefined, to: Cut | undefined, unit: string): string {
  if (!from && !to) return `any ${unit}`;
  if (!from) return to?.inclusive ? `under ${to.written} ${unit}` : `${to?.written ?? ''} ${unit} or less`;
  if (!to) return from.inclusive ? `${from.written} ${unit} or more` : `over ${from.written} ${unit}`;
  if (compareDecimals(from.at, to.at) === 0) return `exactly ${from.written} ${unit}`;
  return `${from.inclusive ? '' : 'over '}${from.written} to ${to.inclusive ? 'under ' : ''}${to.written} ${unit}`;
}

function required(value: Decimal): ExactDecimal {
  const exact = exactDecimal(value);
  if (!exact) throw new RangeError('A limit or cut is not a decimal.');
  return exact;
}
