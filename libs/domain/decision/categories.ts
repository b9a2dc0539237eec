import { TableDefect } from './refusals.js';
import { severityOf } from './severity.js';
import { NOT_CLASSIFIED, type Category, type DecisionTable, type Level } from './table.js';

/** A category with its rank: the outcomes of one table, mildest first, with *not classified* between level 2 and 3. */
export interface RankedCategory {
  readonly id: string;
  readonly words: string;
  readonly level: Level | null;
  readonly derived: boolean;
  /** Codes into the table's actions. */
  readonly actions: readonly string[];
}

export const NOT_CLASSIFIED_WORDS = 'not classified by this authority';

/** Sets of categories are bit masks by rank. */
const MOST_CATEGORIES = 29;

/** The outcomes of a table in order, mildest first; within a level as listed. Throws `TableDefect`. */
export function rankCategories(table: DecisionTable): RankedCategory[] {
  const { categories } = table;
  if (categories.length === 0 || categories.length > MOST_CATEGORIES) {
    throw new TableDefect(
      table.id,
      `it has ${categories.length} categories.`,
      '/categories',
      `1 to ${MOST_CATEGORIES}`,
    );
  }
  categories.forEach((category, i) => {
    const defect = categoryDefect(category, categories.slice(0, i));
    if (defect) throw new TableDefect(table.id, `category “${category.id}” ${defect}`, `/categories/${i}`);
  });
  const open = { id: NOT_CLASSIFIED, words: NOT_CLASSIFIED_WORDS, level: null, derived: false, actions: [] };
  return [...categories.map((category) => ({ ...category, derived: category.derived ?? false })), open].sort(
    (a, b) => severityOf(a.level) - severityOf(b.level),
  );
}

function categoryDefect(category: Category, before: readonly Category[]): string | undefined {
  if (category.id === NOT_CLASSIFIED || category.words === NOT_CLASSIFIED_WORDS)
    return 'is what every table has already.';
  if (before.some(({ id }) => id === category.id)) return 'is listed twice.';
  if (before.some(({ words }) => words === category.words)) return 'has the words of another.';
  if (before.some(({ level }) => level > category.level))
    return 'is milder than one before it: list the mildest first.';
  return undefined;
}

/**
 * The category `steps` levels above another, counted in the levels that this table uses and capped at its highest: an
 * issuer that says "raise one level" means the next one of its own scale.
 */
export function raised(ranking: readonly RankedCategory[], from: number, steps: number): number {
  const base = ranking[from];
  if (!base || base.level === null || steps === 0) return from;
  const { level: baseLevel } = base;
  const above = [...new Set(ranking.flatMap(({ level }) => (level !== null && level > baseLevel ? [level] : [])))];
  const reached = above.slice(0, steps).pop();
  return reached === undefined ? from : ranking.findIndex(({ level }) => level === reached);
}

/** Whether a level above the given category holds several categories, so that a raise to it would name none of them. */
export function raisesAmbiguously(ranking: readonly RankedCategory[], from: number): boolean {
  const base = ranking[from]?.level ?? 3;
  const above = ranking.flatMap(({ level }) => (level !== null && level > base ? [level] : []));
  return new Set(above).size < above.length;
}
