import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { assess, type Assessment, type CompiledTable, type Facts } from '#domain';
import { loadRulebook } from '#rulebook';
import { readFacts } from '../facts-text.js';
import { BadUsage, CommandRefused, isRefusal, problemOf, type Problem } from '../problem.js';
import type { Terminal, Verb } from '../verb.js';

const usage = 'assess --table <id>[@version] [--facts FILE|-]';

/** Assesses facts under a table: one object gives one object, an array an array, NDJSON NDJSON in order. */
export const verb: Verb = {
  usage,
  options: { table: { type: 'string' }, facts: { type: 'string', default: '-' } },
  async run({ table: ref, facts: from }, terminal) {
    if (typeof ref !== 'string' || ref === '') throw new BadUsage('--table is missing.', `innerglove ${usage}`);
    const table = loadRulebook().table(ref);
    const input = readFacts(await textOf(String(from), terminal), String(from));
    switch (input.form) {
      case 'one':
        terminal.stdout.write(`${JSON.stringify(printed(assess(table, input.facts)), null, 2)}\n`);
        return 0;
      case 'array': {
        const results = input.elements.map((element, index) => resultOf(table, element, `/${index}`));
        terminal.stdout.write(`${JSON.stringify(results, null, 2)}\n`);
        return ended(results.filter(isRefused).length, results.length, terminal);
      }
      case 'lines': {
        let refused = 0;
        for (const element of input.elements) {
          const result = resultOf(table, element, '');
          if (isRefused(result)) refused++;
          terminal.stdout.write(`${JSON.stringify(result)}\n`);
        }
        return ended(refused, input.elements.length, terminal);
      }
    }
  },
};

type Refused = { readonly error: Problem };
type Result = ReturnType<typeof printed> | Refused;

function isRefused(result: Result): result is Refused {
  return 'error' in result;
}

/** One element of several: refused, it leaves its problem in its place. */
function resultOf(table: CompiledTable, element: Facts | Error, within: string): Result {
  try {
    if (element instanceof Error) throw element;
    return printed(assess(table, element));
  } catch (error) {
    if (!isRefusal(error)) throw error;
    return { error: problemOf(error, within) };
  }
}

function ended(refused: number, all: number, terminal: Terminal): 0 | 1 {
  if (refused === 0) return 0;
  const summary = new CommandRefused('elements-refused', `${refused} of ${all} elements were refused; each says why.`);
  terminal.stderr.write(`${JSON.stringify(problemOf(summary))}\n`);
  return 1;
}

/** What is printed of an assessment, key by key: the order is part of the contract with those who read it. */
function printed(assessment: Assessment) {
  const { table, version, hash, category, categoryId, actions, level, settled, reachable, openQuestions } = assessment;
  const { rule, sources, grade, explanation, cautions } = assessment;
  return {
    table,
    version,
    hash,
    category,
    categoryId,
    actions,
    level,
    settled,
    reachable,
    openQuestions,
    rule,
    sources,
    grade,
    explanation,
    cautions,
  };
}

async function textOf(from: string, { stdin }: Terminal): Promise<string> {
  if (from === '-') {
    if (stdin.isTTY) throw new BadUsage('There are no facts: standard input is a terminal.', `innerglove ${usage}`);
    return text(stdin);
  }
  try {
    return await readFile(from, 'utf8');
  } catch (error) {
    const code = String((error as NodeJS.ErrnoException).code);
    throw new CommandRefused(
      'unreadable-file',
      `The facts file cannot be read (${code}).`,
      'a file of JSON, or - for standard input',
    );
  }
}
