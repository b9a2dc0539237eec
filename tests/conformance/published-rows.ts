import { describe, expect, it } from '@jest/globals';
import { assess, type Facts, type Level } from '#domain';
import { loadRulebook } from '#rulebook';

export const book = loadRulebook();

/** One row of a published table, typed in from the publication and not from our data. */
export interface PublishedRow {
  /** Name of the row in the collection that the tables were transcribed from. */
  readonly row: string;
  readonly says: string;
  /** What this row asks for, over the facts in which nothing happened. */
  readonly facts: Facts;
  readonly category: string;
  readonly level: Level | null;
  /** Codes of what is asked for, exactly. */
  readonly actions: readonly string[];
  /** The publication that this row was read in, where it is not that of the whole table. */
  readonly from?: { readonly body: string; readonly title: string; readonly year: string };
}

export interface Publication {
  readonly table: string;
  readonly body: string;
  readonly title: string;
  readonly year: string;
  /** An answer to every question of the table, in a world where nothing happened. */
  readonly nothingHappened: Facts;
}

/** One test a row: every fact is given, so the row alone must settle the category. */
export function describeRows(publication: Publication, rows: readonly PublishedRow[]): void {
  const { table: id, body, title, year, nothingHappened } = publication;
  const compiled = book.table(id);

  describe(`${body}: ${title} (${year})`, () => {
    it('asks for exactly the facts that are answered here', () => {
      expect(Object.keys(nothingHappened).sort()).toEqual(compiled.table.inputs.map(({ fact }) => fact).sort());
    });

    it.each(rows.map((row) => [titleOf(row.from ?? publication), row.row, row.says, row.category, row] as const))(
      '%s, row %s: %s is “%s”',
      (_, name, __, category, { facts, level, actions, from }) => {
        const result = assess(compiled, { ...nothingHappened, ...facts });
        expect(result).toMatchObject({ category, level, settled: true });
        expect(result.actions.map(({ code }) => code).sort()).toEqual([...actions].sort());
        const rule = compiled.table.rules.find(({ id: ruleId }) => ruleId === result.rule);
        expect(rule?.row).toBe(name);
        expect(result.sources.map(({ body: of, year: on }) => `${of}, ${on}`)).toContain(
          `${from?.body ?? body}, ${from?.year ?? year}`,
        );
      },
    );

    it('has a test for every row that it names', () => {
      const tested = new Set(rows.map(({ row }) => row));
      expect(compiled.table.rules.flatMap(({ row }) => (row === undefined || tested.has(row) ? [] : [row]))).toEqual(
        [],
      );
    });
  });
}

function titleOf({ body, title, year }: { readonly body: string; readonly title: string; readonly year: string }) {
  return `${body}, ${title} (${year})`;
}

/** What the authority left open: never a level, always a human. */
export function describeOpen(
  publication: Publication,
  cases: readonly (readonly [says: string, facts: Facts, rule: string])[],
): void {
  const { table: id, body, title, year, nothingHappened } = publication;
  describe(`${body}: ${title} (${year}), what it leaves open`, () => {
    it.each(cases)('%s is not classified', (_, facts, rule) => {
      expect(assess(book.table(id), { ...nothingHappened, ...facts })).toMatchObject({
        category: 'not classified by this authority',
        categoryId: 'not-classified',
        level: null,
        settled: true,
        rule,
      });
    });
  });
}
