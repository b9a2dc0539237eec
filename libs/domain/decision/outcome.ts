import type { AssessedAction } from './assessment.js';
import type { RankedCategory } from './categories.js';
import type { Evidence, EvidenceGrade, Source } from './evidence.js';
import type { DecisionTable, Rule } from './table.js';

/** One way in which a table can end. */
export interface Outcome {
  /** Index of the rule that fires; -1 where none does. */
  readonly rule: number;
  /** Rank of the category, after adjustments. */
  readonly category: number;
  /** Indexes of the adjustments that raised it. */
  readonly adjustments: readonly number[];
  /** Several rules hold under the hit policy `unique`, a defect: the worst of them is taken. */
  readonly collision: boolean;
}

/** What an outcome says and rests on. */
export interface OutcomeContent {
  readonly actions: readonly AssessedAction[];
  /** Of the rule and the adjustments; equal sources are one object within a table. */
  readonly sources: readonly Source[];
  readonly grade: EvidenceGrade;
  /** Rows and adjustments among them that are from memory, by id. */
  readonly remembered: readonly string[];
}

const STRONGEST_FIRST: readonly EvidenceGrade[] = ['read', 'second-hand', 'derived', 'remembered'];

/** The weakest of some grades; with none at all, our own conclusion. */
export function weakestGrade(grades: readonly EvidenceGrade[]): EvidenceGrade {
  if (grades.length === 0) return 'derived';
  return grades.reduce((a, b) => (STRONGEST_FIRST.indexOf(b) > STRONGEST_FIRST.indexOf(a) ? b : a));
}

/** Adds to every outcome what it says and rests on. */
export function describeOutcomes(
  table: DecisionTable,
  ranking: readonly RankedCategory[],
  outcomes: readonly Outcome[],
): (Outcome & OutcomeContent)[] {
  const known = new Map<string, Source>();
  const shared = (source: Source): Source => {
    const key = JSON.stringify([source.body, source.title, source.year, source.section, source.address]);
    if (!known.has(key)) known.set(key, source);
    return known.get(key) as Source;
  };
  const actions = new Map(
    Object.entries(table.actions).map(([code, { words, atOnce = false, grade, sources }]): [string, AssessedAction] => [
      code,
      { code, words, atOnce, grade, sources },
    ]),
  );
  return outcomes.map((outcome) => {
    const rule: Rule | undefined = table.rules[outcome.rule];
    const adjustments = outcome.adjustments.flatMap((index) => table.adjustments[index] ?? []);
    const evidence: (Evidence & { readonly id: string })[] = rule ? [rule, ...adjustments] : [];
    const codes = new Set([...(ranking[outcome.category]?.actions ?? []), ...(rule?.then.actions ?? [])]);
    return {
      ...outcome,
      actions: [...codes].flatMap((code) => actions.get(code) ?? []),
      sources: [...new Set(evidence.flatMap(({ sources }) => sources.map(shared)))],
      grade: weakestGrade(evidence.map(({ grade }) => grade)),
      remembered: evidence.filter(({ grade }) => grade === 'remembered').map(({ id }) => id),
    };
  });
}
