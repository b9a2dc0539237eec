import { existsSync } from 'node:fs';
import type { Adjustment, DecisionTable, Impossible, Rule, TableAction } from '#domain';
import { RulebookDefect } from '../refusals.js';
import { textsBeside, type Library } from './library.js';
import type { SourceRegister, WrittenEvidence } from './source-register.js';

type Written<T> = Omit<T, 'grade' | 'sources' | 'words'> & WrittenEvidence & { readonly words?: string };

/** A table as authored: evidence by reference; words inline or in the file of texts beside it. */
type WrittenTable = Omit<DecisionTable, 'actions' | 'impossible' | 'rules' | 'adjustments' | 'cautions'> & {
  readonly actions: Readonly<Record<string, Written<TableAction>>>;
  readonly impossible: readonly (Omit<Impossible, 'why'> & { readonly id?: string; readonly why?: string })[];
  readonly rules: readonly Written<Rule>[];
  readonly adjustments: readonly Written<Adjustment>[];
  readonly cautions?: readonly string[];
};

interface TableTexts {
  readonly table: string;
  readonly rules: Readonly<Record<string, string>>;
  readonly adjustments?: Readonly<Record<string, string>>;
  readonly actions?: Readonly<Record<string, string>>;
  readonly impossible?: Readonly<Record<string, string>>;
  readonly cautions?: readonly string[];
}

/** Reads a table that belongs to the rulebook: its name and its place must agree. */
export function readTable(library: Library, sources: SourceRegister, file: string): DecisionTable {
  const table = withTexts(
    library.read<WrittenTable>(file, 'table'),
    library.readIfThere<TableTexts>(textsBeside(file), 'table-texts'),
    sources,
    file,
  );
  const named = `${table.id}@${table.version}.yaml`;
  if (!file.endsWith(`/${named}`)) throw new RulebookDefect(file, '/id', `the file must be named ${named}`);
  return table;
}

/** Reads a table from anywhere else, for example one that is being drafted. */
export function readTableFile(library: Library, sources: SourceRegister, path: string): DecisionTable {
  const textPath = textsBeside(path);
  return withTexts(
    library.readElsewhere<WrittenTable>(path, 'table'),
    existsSync(textPath) ? library.readElsewhere<TableTexts>(textPath, 'table-texts') : undefined,
    sources,
    path,
  );
}

function withTexts(
  written: WrittenTable,
  texts: TableTexts | undefined,
  sources: SourceRegister,
  file: string,
): DecisionTable {
  const named = `${written.id}@${written.version}`;
  const textFile = textsBeside(file);
  if (texts && texts.table !== named) throw new RulebookDefect(textFile, '/table', `is not ${named}`);
  const table = assemble(written, texts, sources, file);
  if (texts) refuseStrayTexts(written, texts, textFile);
  return table;
}

function assemble(
  written: WrittenTable,
  texts: TableTexts | undefined,
  sources: SourceRegister,
  file: string,
): DecisionTable {
  const worded = (
    inline: string | undefined,
    beside: Readonly<Record<string, string>> | undefined,
    id: string | undefined,
    pointer: string,
  ): string => {
    const words = inline ?? (id === undefined ? undefined : beside?.[id]);
    if (words === undefined) throw new RulebookDefect(file, pointer, `has no words, here or in ${textsBeside(file)}`);
    return words;
  };
  const { actions, impossible, rules, adjustments, cautions, ...head } = written;
  return {
    ...head,
    actions: Object.fromEntries(
      Object.entries(actions).map(([code, action]) => [
        code,
        {
          ...sources.evidence(action, file, `/actions/${code}`),
          words: worded(action.words, texts?.actions, code, `/actions/${code}`),
          ...(action.atOnce ? { atOnce: true } : {}),
        },
      ]),
    ),
    impossible: impossible.map(({ id, when, why }, i) => ({
      when,
      why: worded(why, texts?.impossible, id, `/impossible/${i}`),
    })),
    rules: rules.map((rule, i) => ({
      ...rule,
      ...sources.evidence(rule, file, `/rules/${i}`),
      words: worded(rule.words, texts?.rules, rule.id, `/rules/${i}`),
    })),
    adjustments: adjustments.map((adjustment, i) => ({
      ...adjustment,
      ...sources.evidence(adjustment, file, `/adjustments/${i}`),
      words: worded(adjustment.words, texts?.adjustments, adjustment.id, `/adjustments/${i}`),
    })),
    cautions: [...(cautions ?? []), ...(texts?.cautions ?? [])],
  };
}

/** A text that belongs to nothing is mostly one whose rule was renamed, so that another text is missing or wrong. */
function refuseStrayTexts(written: WrittenTable, texts: TableTexts, file: string): void {
  const ids: Record<'rules' | 'adjustments' | 'actions' | 'impossible', readonly (string | undefined)[]> = {
    rules: written.rules.map(({ id }) => id),
    adjustments: written.adjustments.map(({ id }) => id),
    actions: Object.keys(written.actions),
    impossible: written.impossible.map(({ id }) => id),
  };
  for (const part of ['rules', 'adjustments', 'actions', 'impossible'] as const) {
    for (const id of Object.keys(texts[part] ?? {})) {
      if (!ids[part].includes(id)) throw new RulebookDefect(file, `/${part}/${id}`, 'words nothing in the table');
    }
  }
}
