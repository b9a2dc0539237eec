import type { Assessment } from './assessment.js';
import { cautionsFor, tableCautions } from './cautions.js';
import type { CompiledTable } from './compile.js';
import { encodeFacts } from './encode.js';
import { explain, holding, type Finding } from './explain.js';
import { NearestChange } from './nearest.js';
import { weakestGrade, type Outcome, type OutcomeContent } from './outcome.js';
import { OutcomeWalk } from './outcome-walk.js';
import { Phrases } from './phrases.js';
import { rankQuestions } from './questions.js';
import { isSingle, Reach, worstOf } from './reach.js';
import { ImpossibleCombination } from './refusals.js';
import { pointerStep } from '../refusal.js';
import type { Facts } from './table.js';

/** What one table needs in order to answer, kept from one question to the next; it remembers no answer. */
interface Desk {
  readonly reach: Reach;
  readonly outcomes: OutcomeWalk;
  readonly nearest: NearestChange;
  readonly phrases: Phrases;
  readonly standing: readonly string[];
}

const desks = new WeakMap<CompiledTable, Desk>();

function deskOf(table: CompiledTable): Desk {
  let desk = desks.get(table);
  if (desk === undefined) {
    const reach = new Reach(table);
    desk = {
      reach,
      outcomes: new OutcomeWalk(table),
      nearest: new NearestChange(table, reach),
      phrases: new Phrases(table),
      standing: tableCautions(table.table),
    };
    desks.set(table, desk);
  }
  return desk;
}

/**
 * What a table says of facts of which some may be unknown: the category or, unsettled, the worst that can still be reached.
 * Throws `UnknownFact`, `UnacceptableAnswer` or `ImpossibleCombination`.
 *
 * @example assess(table, { contact: 'yes', contactMinutes: 20 }).category // 'High risk'
 */
export function assess(table: CompiledTable, facts: Facts): Assessment {
  const { reach, outcomes: walk, nearest, phrases, standing } = deskOf(table);
  encodeFacts(table, facts, reach.allowed);
  const ranks = reach.explore();
  if (ranks === 0) throw impossibleCombination(table, reach);
  const rank = worstOf(ranks);
  const outcomes = walk.reached(reach.allowed);
  const worst = outcomes.length === 1 ? outcomes : outcomes.filter(({ category }) => category === rank);
  const settled = isSingle(ranks);
  const rule = settled ? pinnedRule(table, reach, outcomes) : -1;
  const questions = rankQuestions(table, phrases, reach);
  const finding: Finding = {
    facts,
    reach,
    rank,
    settled,
    worst,
    outcomes,
    rule,
    grade: weakestGrade(outcomes.map(({ grade }) => grade)),
    sources: unionOf(worst.map(({ sources }) => sources)),
    questions,
    nearest: nearest.find(),
  };
  const category = table.ranking[rank] as (typeof table.ranking)[0];
  return {
    table: table.table.id,
    version: table.table.version,
    hash: table.hash,
    category: category.words,
    categoryId: category.id,
    actions: unionOf(worst.map(({ actions }) => actions)),
    level: category.level,
    settled,
    reachable: phrases.categories(ranks),
    openQuestions: questions,
    rule: table.table.rules[rule]?.id ?? null,
    grade: finding.grade,
    sources: finding.sources,
    explanation: explain(table, phrases, finding),
    cautions: cautionsFor(table, standing, finding),
  };
}

/**
 * The category alone, by id. The facts must have been validated before (`assess` and `encodeFacts` do): only what the
 * decision needs is looked at. Facts that are unknown, ranges or written as text give the worst that can be reached.
 */
export function classify(table: CompiledTable, facts: Facts): string {
  const { cells, root } = table.byCategory;
  const { inputs, ranking } = table;
  let at = root;
  while (at >= 0) {
    const input = inputs[cells[at] as number] as (typeof inputs)[0];
    const value = input.coding.valueOf(facts[input.fact]);
    if (value < 0) return classifyUnknowns(table, facts);
    at = cells[at + 1 + value] as number;
  }
  // The terminal for what cannot happen is -1; ranks follow below it.
  if (at === -1) return classifyUnknowns(table, facts);
  return (ranking[-at - 2] as (typeof ranking)[0]).id;
}

function classifyUnknowns(table: CompiledTable, facts: Facts): string {
  const { reach } = deskOf(table);
  encodeFacts(table, facts, reach.allowed);
  const ranks = reach.explore();
  if (ranks === 0) throw impossibleCombination(table, reach);
  return (table.ranking[worstOf(ranks)] as (typeof table.ranking)[0]).id;
}

/**
 * The one rule that a settled result can be pinned to: the one that fires in every case, else the first that holds on the
 * known facts alone and gives this category by itself. -1 where what is unknown decides between rules.
 */
function pinnedRule(table: CompiledTable, reach: Reach, outcomes: readonly (Outcome & OutcomeContent)[]): number {
  const first = outcomes[0] as Outcome;
  if (outcomes.every(({ rule }) => rule === first.rule)) return first.rule;
  const category = table.ranking[first.category]?.id;
  const rules = outcomes.map(({ rule }) => rule).sort((a, b) => a - b);
  const certain = rules.find(
    (rule) =>
      table.table.rules[rule]?.then.category === category &&
      holding(table.clauses.rules[rule] ?? [], reach) !== undefined,
  );
  return certain ?? -1;
}

function impossibleCombination(table: CompiledTable, reach: Reach): ImpossibleCombination {
  const { impossible } = table.clauses;
  const known = (level: number) => reach.allowed[level] !== table.inputs[level]?.coding.all;
  const index = impossible.findIndex((cube) => holding([cube], reach) !== undefined);
  // Without one entry that the facts meet by themselves, several exclude together whatever the unknown facts may be.
  const cubes = index >= 0 ? [impossible[index]] : impossible.filter((cube) => [...cube.keys()].some(known));
  const why =
    index >= 0
      ? (table.table.impossible[index]?.why ?? '')
      : 'together they leave no possible answer to what is unknown.';
  const levels = new Set(cubes.flatMap((cube) => [...(cube?.keys() ?? [])]).filter(known));
  const named = [...levels].map((level) => table.inputs[level] as (typeof table.inputs)[0]);
  const facts = named.sort((a, b) => a.place - b.place).map(({ fact }) => fact);
  return new ImpossibleCombination(facts, why, pointerStep(facts[facts.length - 1] ?? ''));
}

function unionOf<T>(lists: readonly (readonly T[])[]): readonly T[] {
  return lists.length === 1 ? (lists[0] as readonly T[]) : [...new Set(lists.flat())];
}
