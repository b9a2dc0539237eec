import { raised, type RankedCategory } from './categories.js';
import { terminal, type Ref } from './diagram.js';
import type { Outcome } from './outcome.js';
import { NOT_CLASSIFIED, type DecisionTable } from './table.js';

/** Numbers the outcomes met while a table is put together; state 0 is left to `OUTSIDE`. */
export class OutcomeStates {
  private readonly states: Outcome[] = [];
  private readonly numbers = new Map<string, number>();
  readonly none: Ref;

  constructor(
    private readonly table: DecisionTable,
    private readonly ranking: readonly RankedCategory[],
  ) {
    this.none = this.number({ rule: -1, category: this.rank(NOT_CLASSIFIED), adjustments: [], collision: false });
  }

  outcome(state: number): Outcome {
    return this.states[state - 1] as Outcome;
  }

  rankOf(rule: number): number {
    return this.rank(this.table.rules[rule]?.then.category ?? '');
  }

  fired(rule: number): Ref {
    return this.number({ rule, category: this.rankOf(rule), adjustments: [], collision: false });
  }

  alsoFired(state: number, rule: number): Ref {
    const before = this.outcome(state);
    if (before.rule < 0) return this.fired(rule);
    const worst = this.rankOf(rule) > before.category ? rule : before.rule;
    return this.number({ rule: worst, category: this.rankOf(worst), adjustments: [], collision: true });
  }

  adjusted(state: number, adjustment: number): Ref {
    const before = this.outcome(state);
    const base = this.table.rules[before.rule];
    const { appliesTo = [] } = this.table.adjustments[adjustment] ?? {};
    if (!base || !appliesTo.includes(base.id)) return terminal(state);
    const together = this.table.adjustmentsAdd
      ? [...before.adjustments, adjustment]
      : [this.raise(adjustment) > this.total(before.adjustments) ? adjustment : (before.adjustments[0] as number)];
    const category = raised(this.ranking, this.rankOf(before.rule), this.total(together));
    return category === before.category ? terminal(state) : this.number({ ...before, category, adjustments: together });
  }

  private raise(adjustment: number): number {
    return this.table.adjustments[adjustment]?.raise ?? 0;
  }

  private total(adjustments: readonly number[]): number {
    return adjustments.reduce((sum, adjustment) => sum + this.raise(adjustment), 0);
  }

  private rank(category: string): number {
    return this.ranking.findIndex(({ id }) => id === category);
  }

  private number(outcome: Outcome): Ref {
    const key = `${outcome.rule}|${outcome.adjustments.join()}|${outcome.collision}`;
    const known = this.numbers.get(key);
    if (known !== undefined) return terminal(known);
    const made = this.states.push(outcome);
    this.numbers.set(key, made);
    return terminal(made);
  }
}
