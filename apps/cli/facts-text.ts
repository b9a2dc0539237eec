import { CommandRefused } from './problem.js';
import type { Facts } from '#domain';

/** Facts as they were handed in. An element that is no JSON is an error in its place. */
export type FactsInput =
  | { readonly form: 'one'; readonly facts: Facts }
  | { readonly form: 'array'; readonly elements: readonly Facts[] }
  | { readonly form: 'lines'; readonly elements: readonly (Facts | Error)[] };

/**
 * Reads one JSON object, a JSON array, or NDJSON: several lines that are JSON each. What a value may be is the
 * assessment's to judge; here only the syntax counts. Throws `CommandRefused`, which never repeats what was handed in.
 */
export function readFacts(text: string, name: string): FactsInput {
  const content = text.replace(/^\uFEFF/, '');
  const lines = content.split(/\r?\n/).filter((line) => line.trim() !== '');
  if (/\.(ndjson|jsonl)$/i.test(name)) return asLines(lines);
  try {
    const value = JSON.parse(content) as Facts | Facts[];
    return Array.isArray(value) ? { form: 'array', elements: value } : { form: 'one', facts: value };
  } catch (error) {
    // Several lines of which one is an object by itself were meant as NDJSON; a broken object has no such line.
    if (lines.length > 1 && lines.some(isObject)) return asLines(lines);
    throw malformed(content, error);
  }
}

function asLines(lines: readonly string[]): FactsInput {
  return {
    form: 'lines',
    elements: lines.map((line) => {
      try {
        return JSON.parse(line) as Facts;
      } catch (error) {
        return malformed(line, error);
      }
    }),
  };
}

function isObject(line: string): boolean {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' && value !== null && !Array.isArray(value);
  } catch {
    return false;
  }
}

/** Tells where JSON breaks. The runtime's own message is not passed on: it quotes the text around. */
function malformed(content: string, error: unknown): CommandRefused {
  const position = breakOf(content, error);
  const before = content.slice(0, position).split('\n');
  const place =
    position === undefined ? '' : `: it breaks at line ${before.length}, column ${(before.at(-1) ?? '').length + 1}`;
  return new CommandRefused(
    'malformed-json',
    content.trim() === '' ? 'There are no facts: the input is empty.' : `This is no JSON${place}.`,
    'a JSON object of facts, an array of them, or one object a line',
  );
}

const TOKEN = /\s*(?:"(?:[^"\\]|\\.)*"|-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null|[{}[\],:])/y;

/** Where JSON breaks: the runtime tells for tokens out of place, the first piece that is no token is looked for here. */
function breakOf(content: string, error: unknown): number | undefined {
  const told = /at position (\d+)/.exec(error instanceof Error ? error.message : '')?.[1];
  if (told !== undefined) return Number(told);
  let end = 0;
  for (TOKEN.lastIndex = 0; TOKEN.test(content);) end = TOKEN.lastIndex;
  const rest = content.slice(end);
  return rest.trim() === '' ? undefined : end + rest.search(/\S/);
}
