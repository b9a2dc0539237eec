import type { OpenQuestion } from './assessment.js';
import type { CompiledTable } from './compile.js';
import type { Phrases } from './phrases.js';
import { isSingle, worstOf, type Reach } from './reach.js';
import { relevantLevels } from './relevance.js';
import { severityOf } from './severity.js';

interface RankedQuestion {
  readonly question: OpenQuestion;
  /** Place among the table's inputs. */
  readonly place: number;
  /** The mildest that the worst reachable level can become by one answer. */
  readonly lowestWorst: number;
  /** Most categories that one answer leaves. */
  readonly mostLeft: number;
}

/**
 * The questions that can still change the category, best to ask first: one whose every answer settles it; then the one
 * with an answer that lowers the worst reachable level most; then the one that leaves the fewest categories whatever the
 * answer; then the order of the inputs. An answer that another answer has made impossible is not offered, and an input
 * with one possible answer left is not asked. `reach` has explored the facts.
 */
export function rankQuestions(table: CompiledTable, phrases: Phrases, reach: Reach): readonly OpenQuestion[] {
  if (isSingle(reach.ranks)) return NOTHING;
  const unknown: number[] = [];
  for (const level of table.inTableOrder) {
    const possible = reach.possibleValues(level);
    if ((possible & (possible - 1)) !== 0) unknown.push(level);
  }
  const ranked = relevantLevels(reach, unknown).map((level) => rank(table, phrases, reach, level));
  ranked.sort(
    (a, b) =>
      Number(b.question.settlesAlone) - Number(a.question.settlesAlone) ||
      a.lowestWorst - b.lowestWorst ||
      a.mostLeft - b.mostLeft ||
      a.place - b.place,
  );
  return ranked.map(({ question }) => question);
}

function rank(table: CompiledTable, phrases: Phrases, reach: Reach, level: number): RankedQuestion {
  const possible = reach.possibleValues(level);
  const input = table.inputs[level] as (typeof table.inputs)[0];
  const values: string[] = [];
  const leaves: Record<string, readonly string[]> = {};
  let settlesAlone = true;
  let lowestWorst = Infinity;
  let mostLeft = 0;
  for (let value = 0; possible >> value !== 0; value++) {
    if (((possible >> value) & 1) === 0) continue;
    const label = input.coding.labels[value] as string;
    const ranks = reach.ranksIf(level, value);
    const words = phrases.categories(ranks);
    values.push(label);
    leaves[label] = words;
    settlesAlone &&= words.length === 1;
    lowestWorst = Math.min(lowestWorst, severityOf(table.ranking[worstOf(ranks)]?.level ?? null));
    mostLeft = Math.max(mostLeft, words.length);
  }
  return { question: { fact: input.fact, values, settlesAlone, leaves }, place: input.place, lowestWorst, mostLeft };
}

const NOTHING: readonly OpenQuestion[] = Object.freeze([]);
