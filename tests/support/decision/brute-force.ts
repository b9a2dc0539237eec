import type { Adjustment, Condition, Conjunction, DecisionTable, FactAnswer, Facts, Rule } from '#domain';
import type { Specimen } from './any-table.js';

/** One full combination: for each input, in the table's order, the number of its value. */
export type Combination = readonly number[];

interface End {
  readonly rule: Rule | undefined;
  readonly category: string;
  readonly adjustments: readonly string[];
}

/**
 * The meaning of a table, worked out combination by combination from its rules alone. It shares nothing with the compiled
 * diagrams but the types, is slow on purpose, and takes decimals as numbers (the specimens use none that a double loses).
 */
export class BruteForce {
  readonly table: DecisionTable;
  /** For each input, the values it distinguishes, each by one answer that stands for it. */
  readonly values: readonly (readonly (string | number)[])[];
  readonly combinations: readonly Combination[];
  private readonly ends = new Map<string, End>();

  constructor({ table, vocabulary }: Specimen) {
    this.table = table;
    this.values = table.inputs.map(({ fact, cuts = [] }) => {
      const definition = vocabulary.facts[fact];
      if (definition?.kind === 'yesNo') return ['yes', 'no'];
      if (definition?.kind === 'choice') return definition.values;
      const marks = cuts.map(({ at }) => Number(at));
      const tried = [...marks, ...marks.map((mark) => mark - 1e-6), ...marks.map((mark) => mark + 1e-6)];
      const bySide = new Map<string, number>();
      for (const value of tried.sort((a, b) => a - b)) {
        const sides = cuts.map(({ at, operator }) => (operator === '>=' ? value >= Number(at) : value > Number(at)));
        if (!bySide.has(sides.join())) bySide.set(sides.join(), value);
      }
      return [...bySide.values()];
    });
    this.combinations = product(this.values.map((values) => values.map((_, i) => i))).filter((combination) =>
      table.impossible.every(({ when }) => !this.holds(when, combination)),
    );
  }

  /** How the table ends for a combination. */
  end(combination: Combination): End {
    const key = combination.join();
    const known = this.ends.get(key);
    if (known) return known;
    const rule = this.fired(combination);
    const end = rule ? this.adjusted(rule, combination) : { rule, category: 'not-classified', adjustments: [] };
    this.ends.set(key, end);
    return end;
  }

  matching(combination: Combination): Rule[] {
    return this.table.rules.filter((rule) => this.holdsAny(rule.when, combination));
  }

  /** Possible combinations that fit the facts. */
  completions(facts: Facts): Combination[] {
    const open = this.open(facts);
    return this.combinations.filter((combination) =>
      combination.every((value, i) => (open[i] as readonly number[]).includes(value)),
    );
  }

  /** For each input, the values that the facts leave. */
  open(facts: Facts): number[][] {
    return this.table.inputs.map(({ fact }, i) => {
      const values = this.values[i] as readonly (string | number)[];
      return values.map((_, value) => value).filter((value) => this.fits(facts[fact], i, value));
    });
  }

  /** Category ids of some combinations, worst first. */
  categories(combinations: readonly Combination[]): string[] {
    const found = new Set(combinations.map((combination) => this.end(combination).category));
    return [...found].sort((a, b) => this.rank(b) - this.rank(a));
  }

  rank(category: string): number {
    if (category === 'not-classified') return 2.5;
    return this.table.categories.find(({ id }) => id === category)?.level ?? -1;
  }

  private fired(combination: Combination): Rule | undefined {
    const matching = this.matching(combination);
    if (this.table.hitPolicy === 'first') return matching[0];
    // The worst, the first in order among equals; for `unique` more than one is a defect of the table.
    return matching.reduce<Rule | undefined>(
      (best, rule) => (best && this.rank(best.then.category) >= this.rank(rule.then.category) ? best : rule),
      undefined,
    );
  }

  private adjusted(rule: Rule, combination: Combination): End {
    const levels = this.table.categories.map(({ level }) => level);
    const applying = this.table.adjustments.filter(
      (adjustment: Adjustment) => adjustment.appliesTo.includes(rule.id) && this.holdsAny(adjustment.when, combination),
    );
    const raises = applying.map(({ raise }) => raise as number);
    const steps = this.table.adjustmentsAdd ? raises.reduce((a, b) => a + b, 0) : Math.max(0, ...raises);
    const base = this.table.categories.findIndex(({ id }) => id === rule.then.category);
    if (base < 0) return { rule, category: rule.then.category, adjustments: [] };
    const category = this.table.categories[Math.min(base + steps, levels.length - 1)]?.id ?? '';
    return { rule, category, adjustments: applying.map(({ id }) => id) };
  }

  private holdsAny(when: Conjunction | readonly Conjunction[], combination: Combination): boolean {
    return (Array.isArray(when) ? (when as readonly Conjunction[]) : [when as Conjunction]).some((conjunction) =>
      this.holds(conjunction, combination),
    );
  }

  private holds(when: Conjunction, combination: Combination): boolean {
    return Object.entries(when).every(([fact, condition]) => {
      const i = this.table.inputs.findIndex((input) => input.fact === fact);
      return meets(condition, this.values[i]?.[combination[i] as number] ?? '');
    });
  }

  private fits(answer: FactAnswer, input: number, value: number): boolean {
    if (answer === undefined || answer === null || answer === 'unknown') return true;
    const cuts = this.table.inputs[input]?.cuts ?? [];
    const stands = this.values[input]?.[value];
    if (typeof stands === 'string') return answer === stands;
    const side = (x: number): number =>
      cuts.filter(({ at, operator }) => (operator === '>=' ? x >= Number(at) : x > Number(at))).length;
    if (typeof answer !== 'object') return side(Number(answer)) === side(Number(stands));
    const low = answer.min === undefined ? -Infinity : Number(answer.min);
    const high = answer.max === undefined ? Infinity : Number(answer.max);
    return side(low) <= side(Number(stands)) && side(Number(stands)) <= side(high);
  }
}

function meets(condition: Condition, value: string | number): boolean {
  if (typeof condition === 'string') return value === condition;
  if (Array.isArray(condition)) return (condition as readonly (string | number)[]).includes(value);
  const entries = condition as Record<string, string | string[]>;
  return Object.entries(entries).every(([operator, operand]) => {
    switch (operator) {
      case 'not':
        return !meets(operand, value);
      case '>=':
        return Number(value) >= Number(operand);
      case '>':
        return Number(value) > Number(operand);
      case '<':
        return Number(value) < Number(operand);
      default:
        return Number(value) <= Number(operand);
    }
  });
}

/** Every way to take one from each list. */
export function product(lists: readonly (readonly number[])[]): number[][] {
  return lists.reduce<number[][]>((sets, list) => sets.flatMap((set) => list.map((value) => [...set, value])), [[]]);
}
