import { raisesAmbiguously, type RankedCategory } from './categories.js';
import { ConditionReader, type Cube } from './conditions.js';
import type { CompiledInput } from './inputs.js';
import { TableDefect } from './refusals.js';
import { NOT_CLASSIFIED, type Adjustment, type DecisionTable, type Rule } from './table.js';

/** A table's conditions over finite values. A rule or adjustment holds where any of its cubes does. */
export interface Clauses {
  readonly rules: readonly (readonly Cube[])[];
  readonly adjustments: readonly (readonly Cube[])[];
  readonly impossible: readonly Cube[];
}

/** Reads and checks everything that a table says about its inputs. Throws `TableDefect`. */
export function readClauses(
  table: DecisionTable,
  inputs: readonly CompiledInput[],
  ranking: readonly RankedCategory[],
): Clauses {
  const reader = new ConditionReader(table.id, inputs);
  checkNames(table, ranking);
  return {
    rules: table.rules.map((rule, i) => reader.any(rule.when, `/rules/${i}/when`)),
    adjustments: table.adjustments.map((adjustment, i) => reader.any(adjustment.when, `/adjustments/${i}/when`)),
    impossible: table.impossible.map(({ when }, i) => reader.all(when, `/impossible/${i}/when`)),
  };
}

/** The same clauses with facts numbered by their level in a diagram. */
export function inOrder(clauses: Clauses, order: readonly number[]): Clauses {
  const levels: number[] = [];
  order.forEach((place, level) => (levels[place] = level));
  const relevel = (cube: Cube): Cube => new Map([...cube].map(([place, mask]) => [levels[place] as number, mask]));
  return {
    rules: clauses.rules.map((cubes) => cubes.map(relevel)),
    adjustments: clauses.adjustments.map((cubes) => cubes.map(relevel)),
    impossible: clauses.impossible.map(relevel),
  };
}

function checkNames(table: DecisionTable, ranking: readonly RankedCategory[]): void {
  const ids = new Set<string>();
  const known = new Set(ranking.map(({ id }) => id));
  if (table.rules.length === 0) throw new TableDefect(table.id, 'it has no rules.', '/rules');
  const clauses: [string, Rule | Adjustment][] = [
    ...table.rules.map((rule, i): [string, Rule] => [`/rules/${i}`, rule]),
    ...table.adjustments.map((adjustment, i): [string, Adjustment] => [`/adjustments/${i}`, adjustment]),
  ];
  for (const [pointer, clause] of clauses) {
    if (ids.has(clause.id)) throw new TableDefect(table.id, `the id “${clause.id}” is used twice.`, `${pointer}/id`);
    ids.add(clause.id);
    if (clause.sources.length === 0)
      throw new TableDefect(table.id, `“${clause.id}” has no source.`, `${pointer}/sources`);
  }
  table.categories.forEach(({ actions }, i) => checkActions(table, actions, `/categories/${i}/actions`));
  table.rules.forEach(({ then }, i) => {
    checkCategory(table, then.category, known, `/rules/${i}/then/category`);
    checkActions(table, then.actions ?? [], `/rules/${i}/then/actions`);
  });
  table.adjustments.forEach((adjustment, i) => {
    adjustment.appliesTo.forEach((id, j) => {
      const defect = raiseDefect(table, id, ranking);
      if (defect) throw new TableDefect(table.id, `“${adjustment.id}” ${defect}`, `/adjustments/${i}/appliesTo/${j}`);
    });
  });
}

function raiseDefect(table: DecisionTable, id: string, ranking: readonly RankedCategory[]): string | undefined {
  const rule = table.rules.find((candidate) => candidate.id === id);
  if (!rule) return `names “${id}”, which is no rule.`;
  if (rule.then.category === NOT_CLASSIFIED) return `would raise “${id}”, which the authority left open.`;
  const from = ranking.findIndex(({ id: category }) => category === rule.then.category);
  return raisesAmbiguously(ranking, from) ? `could raise “${id}” to a level of several categories.` : undefined;
}

function checkCategory(table: DecisionTable, id: string, known: ReadonlySet<string>, pointer: string): void {
  if (!known.has(id)) throw new TableDefect(table.id, `there is no category “${id}”.`, pointer, [...known].join(', '));
}

function checkActions(table: DecisionTable, codes: readonly string[], pointer: string): void {
  codes.forEach((code, i) => {
    const action = Object.hasOwn(table.actions, code) ? table.actions[code] : undefined;
    if (!action) throw new TableDefect(table.id, `there is no action “${code}”.`, `${pointer}/${i}`);
    if (action.sources.length === 0)
      throw new TableDefect(table.id, `action “${code}” has no source.`, `/actions/${code}`);
  });
}
