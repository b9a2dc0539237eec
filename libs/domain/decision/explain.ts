import type { Explanation, NearestChange } from './assessment.js';
import type { CompiledTable } from './compile.js';
import { NOT_CLASSIFIED_WORDS } from './categories.js';
import type { Cube } from './conditions.js';
import type { EvidenceGrade, Source } from './evidence.js';
import type { CompiledInput } from './inputs.js';
import type { NearestCategory } from './nearest.js';
import type { Outcome, OutcomeContent } from './outcome.js';
import { categoryWords } from './questions.js';
import type { Reach } from './reach.js';
import type { FactAnswer, Facts, QuantityRange } from './table.js';

/** What an assessment came to, before it is put into words. */
export interface Finding {
  readonly facts: Facts;
  readonly reach: Reach;
  readonly rank: number;
  readonly settled: boolean;
  /** Outcomes of the worst reachable category. */
  readonly worst: readonly (Outcome & OutcomeContent)[];
  readonly outcomes: readonly (Outcome & OutcomeContent)[];
  /** Index of the rule that the result can be pinned to, -1 where there is none. */
  readonly rule: number;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
  readonly questions: readonly { readonly fact: string }[];
  readonly nearest: NearestCategory | null;
}

/** Puts a finding into plain sentences: the rule, its source, the facts used, what is open, the nearest change. */
export function explain(table: CompiledTable, finding: Finding): Explanation {
  const rule = table.table.rules[finding.rule];
  const factsUsed = usedFacts(table, finding);
  const adjustments = adjustmentsOf(table, finding);
  const nearestChange = nearestWords(table, finding);
  const sentences = [
    ...ruleSentences(table, finding),
    ...adjustments.map(({ words }) => sentence(words)),
    ...adjustmentSentences(table, finding),
    evidenceSentence(finding),
    ...factsSentence(factsUsed),
    ...openSentences(table, finding),
    ...nearestSentence(nearestChange),
  ];
  return { words: sentences.join(' '), row: rule?.row ?? null, factsUsed, adjustments, nearestChange };
}

function ruleSentences(table: CompiledTable, { settled, rule, rank, outcomes, reach }: Finding): string[] {
  const { title, authority, version, rules } = table.table;
  const words = categoryWords(table, 1 << rank)[0] ?? '';
  const fired = rules[rule];
  if (!settled) {
    const reachable = categoryWords(table, reach.ranks).map(quoted);
    return [
      `Not settled by “${title}” (${authority}, version ${version}): ${listed(reachable, 'and')} can still be reached.`,
      `Until more is known the worst of them, ${quoted(words)}, is assumed.`,
    ];
  }
  const leadIn = `By “${title}” (${authority}, version ${version}) the category is ${quoted(words)}.`;
  if (fired) return [leadIn, `Rule ${fired.id}${fired.row ? ` (row ${fired.row})` : ''}: ${sentence(fired.words)}`];
  if (outcomes.every((outcome) => outcome.rule < 0)) {
    return [leadIn, 'No rule of the table covers this combination: that is a gap, never a sign of safety.'];
  }
  const ids = [...new Set(outcomes.map((outcome) => rules[outcome.rule]?.id ?? 'no rule'))];
  return [leadIn, `What is unknown decides between ${listed(ids, 'and')}, and all of them lead there.`];
}

function adjustmentSentences(table: CompiledTable, { worst, rank }: Finding): string[] {
  if (table.table.adjustments.length === 0) return [];
  if (table.ranking[rank]?.level === null) return ['Nothing is raised from what the authority left open.'];
  if (worst.every(({ adjustments }) => adjustments.length === 0)) return [];
  const how = table.table.adjustmentsAdd ? 'Each raise counts' : 'A category is raised once at most';
  return [`${how}, and never above the highest.`];
}

function evidenceSentence({ grade, sources, settled }: Finding): string {
  const named = sources.map(
    ({ body, title, year, section }) => `${body}, ${title}, ${year}${section ? `, ${section}` : ''}`,
  );
  const from = named.length === 0 ? 'No source stands behind this' : `Source: ${named.join('; ')}`;
  return `${from}. Weakest evidence${settled ? '' : ' of all that can still apply'}: ${GRADE_WORDS[grade]}.`;
}

const GRADE_WORDS: Readonly<Record<EvidenceGrade, string>> = {
  read: "read in the issuer's own text",
  'second-hand': 'read in a reprint or summary',
  derived: 'derived by us',
  remembered: 'from memory, checked by nobody yet',
};

function factsSentence(factsUsed: Readonly<Record<string, string>>): string[] {
  const used = Object.entries(factsUsed).map(([fact, answer]) => `${fact}: ${answer}`);
  return used.length === 0 ? [] : [`Facts used: ${used.join(', ')}.`];
}

function openSentences({ ranking }: CompiledTable, { questions, rank }: Finding): string[] {
  const open = questions.length === 0 ? [] : [`Ask next: ${questions.map(({ fact }) => fact).join(', ')}.`];
  return ranking[rank]?.level === null ? [...open, `What is ${NOT_CLASSIFIED_WORDS} goes to a human.`] : open;
}

function nearestSentence(nearest: NearestChange | null): string[] {
  if (!nearest) return [];
  const changes = nearest.changes.map(({ fact, from, to }) => `${fact} “${to}” instead of “${from}”`);
  return [`Nearest change: with ${listed(changes, 'and')} it would be ${quoted(nearest.category)}.`];
}

function nearestWords(table: CompiledTable, { facts, nearest }: Finding): NearestChange | null {
  if (!nearest) return null;
  const changes = nearest.changes
    .map(({ level, value }) => ({ input: table.inputs[level] as CompiledInput, value }))
    .sort((a, b) => a.input.place - b.input.place)
    .map(({ input, value }) => ({
      fact: input.fact,
      from: answerWords(input, facts[input.fact]),
      to: input.coding.labels[value] ?? '',
    }));
  return { changes, category: categoryWords(table, 1 << nearest.rank)[0] ?? '' };
}

function adjustmentsOf({ table }: CompiledTable, { worst }: Finding): { id: string; words: string }[] {
  const indexes = new Set(worst.flatMap(({ adjustments }) => adjustments));
  return [...indexes]
    .sort((a, b) => a - b)
    .flatMap((index) => {
      const adjustment = table.adjustments[index];
      return adjustment ? [{ id: adjustment.id, words: adjustment.words }] : [];
    });
}

/**
 * The facts that the rule and the adjustments name. Where no rule can be named, or it names nothing (an "everything else"
 * row), every known fact that was looked at on the way.
 */
function usedFacts(table: CompiledTable, { rule, worst, reach, facts }: Finding): Record<string, string> {
  const { clauses, inputs } = table;
  const levels = new Set<number>();
  if (rule >= 0) {
    const named = [clauses.rules[rule], ...(worst[0]?.adjustments ?? []).map((index) => clauses.adjustments[index])];
    for (const cubes of named) for (const level of holding(cubes ?? [], reach)?.keys() ?? []) levels.add(level);
  }
  if (levels.size === 0) inputs.forEach((_, level) => reach.hasTested(level) && levels.add(level));
  const used = [...levels].map((level) => inputs[level] as CompiledInput).sort((a, b) => a.place - b.place);
  const words: Record<string, string> = {};
  for (const input of used) {
    const answer = facts[input.fact];
    if (answer !== undefined && answer !== null && answer !== 'unknown') words[input.fact] = answerWords(input, answer);
  }
  return words;
}

/** The first cube that holds whatever is still unknown. */
export function holding(cubes: readonly Cube[], reach: Reach): Cube | undefined {
  return cubes.find((cube) => {
    for (const [level, mask] of cube) if (((reach.allowed[level] as number) & ~mask) !== 0) return false;
    return true;
  });
}

function answerWords({ definition }: CompiledInput, answer: FactAnswer): string {
  if (definition.kind !== 'quantity') return String(answer);
  if (typeof answer !== 'object') return `${String(answer)} ${definition.unit}`;
  const { min, max } = (answer ?? {}) as QuantityRange;
  return `${String(min ?? definition.min)} to ${String(max ?? definition.max)} ${definition.unit}`;
}

function sentence(words: string): string {
  return /[.!?]$/.test(words) ? words : `${words}.`;
}

function quoted(words: string): string {
  return `“${words}”`;
}

function listed(words: readonly string[], last: string): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} ${last} ${words[words.length - 1] ?? ''}`;
}
