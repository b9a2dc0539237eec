import type { Explanation, NearestChange, OpenQuestion } from './assessment.js';
import { NOT_CLASSIFIED_WORDS } from './categories.js';
import type { CompiledTable } from './compile.js';
import type { Cube } from './conditions.js';
import type { EvidenceGrade, Source } from './evidence.js';
import type { CompiledInput } from './inputs.js';
import type { NearestCategory } from './nearest.js';
import type { Outcome, OutcomeContent } from './outcome.js';
import { listed, sentence, type Phrases } from './phrases.js';
import type { Reach } from './reach.js';
import type { FactAnswer, Facts, QuantityRange } from './table.js';

/** What an assessment came to, before it is put into words. */
export interface Finding {
  readonly facts: Facts;
  readonly reach: Reach;
  /** Of the worst reachable category. */
  readonly rank: number;
  readonly settled: boolean;
  readonly outcomes: readonly (Outcome & OutcomeContent)[];
  /** The outcomes of the worst reachable category. */
  readonly worst: readonly (Outcome & OutcomeContent)[];
  /** Index of the rule that the result can be pinned to, -1 where there is none. */
  readonly rule: number;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
  readonly questions: readonly OpenQuestion[];
  readonly nearest: NearestCategory | null;
}

/** Puts a finding into plain sentences: the rule, its source, the facts used, what is open, the nearest change. */
export function explain(table: CompiledTable, phrases: Phrases, finding: Finding): Explanation {
  const { rule, sources, grade, settled } = finding;
  const factsUsed = usedFacts(table, finding);
  const adjustments = adjustmentsOf(table, finding);
  const nearestChange = nearestOf(table, phrases, finding);
  const words =
    ruleWords(table, phrases, finding) +
    adjustmentWords(table, finding, adjustments) +
    ` ${phrases.evidence(sources, grade, settled)}` +
    factsWords(table, factsUsed) +
    openWords(table, finding) +
    nearestWords(table, nearestChange);
  return { words, row: table.table.rules[rule]?.row ?? null, factsUsed, adjustments, nearestChange };
}

function ruleWords({ table }: CompiledTable, phrases: Phrases, finding: Finding): string {
  const { settled, rule, rank, outcomes, reach } = finding;
  if (!settled) {
    const reachable = phrases.categories(reach.ranks).map((words) => `“${words}”`);
    return (
      `Not settled by ${phrases.name}: ${listed(reachable)} can still be reached. ` +
      `Until more is known the worst of them, “${phrases.category(rank)}”, is assumed.`
    );
  }
  if (rule >= 0) return `${phrases.leadIn(rank)} ${phrases.rule(rule)}`;
  if (outcomes.every((outcome) => outcome.rule < 0)) {
    return `${phrases.leadIn(rank)} No rule of the table covers this combination: that is a gap, never a sign of safety.`;
  }
  const ids = new Set(outcomes.map((outcome) => table.rules[outcome.rule]?.id ?? 'no rule'));
  return `${phrases.leadIn(rank)} What is unknown decides between ${listed([...ids])}, and all of them lead there.`;
}

function adjustmentWords(
  { table, ranking }: CompiledTable,
  { rank }: Finding,
  adjustments: Explanation['adjustments'],
): string {
  if (table.adjustments.length === 0) return '';
  if (ranking[rank]?.level === null) return ' Nothing is raised from what the authority left open.';
  if (adjustments.length === 0) return '';
  const how = table.adjustmentsAdd ? 'Each raise counts' : 'A category is raised once at most';
  return ` ${adjustments.map(({ words }) => sentence(words)).join(' ')} ${how}, and never above the highest.`;
}

function factsWords({ names }: CompiledTable, factsUsed: Readonly<Record<string, string>>): string {
  let words = '';
  for (const fact in factsUsed) {
    words += `${words === '' ? ' Facts used: ' : ', '}${names.get(fact) ?? fact}: ${factsUsed[fact] ?? ''}`;
  }
  return words === '' ? '' : `${words}.`;
}

function openWords({ ranking, names }: CompiledTable, { questions, rank }: Finding): string {
  let words = '';
  for (const { fact } of questions) words += (words === '' ? ' Ask next: ' : ', ') + (names.get(fact) ?? fact);
  if (words !== '') words += '.';
  return ranking[rank]?.level === null ? `${words} What is ${NOT_CLASSIFIED_WORDS} goes to a human.` : words;
}

function nearestWords({ names }: CompiledTable, nearest: NearestChange | null): string {
  if (!nearest) return '';
  const changes = nearest.changes.map(
    ({ fact, from, to }) => `${names.get(fact) ?? fact} “${to}” instead of “${from}”`,
  );
  return ` Nearest change: with ${listed(changes)} it would be “${nearest.category}”.`;
}

function nearestOf({ inputs }: CompiledTable, phrases: Phrases, { facts, nearest }: Finding): NearestChange | null {
  if (!nearest) return null;
  const changes = nearest.changes
    .map(({ level, value }) => ({ input: inputs[level] as CompiledInput, value }))
    .sort((a, b) => a.input.place - b.input.place)
    .map(({ input, value }) => ({
      fact: input.fact,
      from: answerWords(input, facts[input.fact]),
      to: input.coding.labels[value] as string,
    }));
  return { changes, category: phrases.category(nearest.rank) };
}

function adjustmentsOf({ table }: CompiledTable, { worst }: Finding): Explanation['adjustments'] {
  if (worst.every(({ adjustments }) => adjustments.length === 0)) return NONE;
  const applied = new Set(worst.flatMap(({ adjustments }) => adjustments));
  return table.adjustments.filter((_, index) => applied.has(index)).map(({ id, words }) => ({ id, words }));
}

const NONE: Explanation['adjustments'] = Object.freeze([]);

/**
 * The facts that the rule and the adjustments name. Where no rule can be named, or it names nothing (an "everything else"
 * row), every known fact that was looked at on the way.
 */
function usedFacts({ clauses, inputs, inTableOrder }: CompiledTable, finding: Finding): Record<string, string> {
  const { rule, worst, reach, facts } = finding;
  const named: Cube[] = [];
  if (rule >= 0) {
    const raised = worst[0]?.adjustments ?? [];
    for (const cubes of [clauses.rules[rule], ...raised.map((index) => clauses.adjustments[index])]) {
      const cube = cubes && holding(cubes, reach);
      if (cube && cube.size > 0) named.push(cube);
    }
  }
  const used: Record<string, string> = {};
  for (const level of inTableOrder) {
    if (!reach.isKnown(level)) continue;
    if (named.length > 0 ? !named.some((cube) => cube.has(level)) : !reach.hasTested(level)) continue;
    const input = inputs[level] as CompiledInput;
    used[input.fact] = answerWords(input, facts[input.fact]);
  }
  return used;
}

/** The first cube that holds whatever is still unknown. */
export function holding(cubes: readonly Cube[], reach: Reach): Cube | undefined {
  for (const cube of cubes) {
    let holds = true;
    for (const [level, mask] of cube) {
      if (((reach.allowed[level] as number) & ~mask) !== 0) {
        holds = false;
        break;
      }
    }
    if (holds) return cube;
  }
  return undefined;
}

function answerWords({ definition }: CompiledInput, answer: FactAnswer): string {
  if (definition.kind !== 'quantity') return String(answer);
  if (typeof answer !== 'object') return `${String(answer)} ${definition.unit}`;
  const { min, max } = (answer ?? {}) as QuantityRange;
  return `${String(min ?? definition.min)} to ${String(max ?? definition.max)} ${definition.unit}`;
}
