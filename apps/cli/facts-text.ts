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
  const position = /at position (\d+)/.exec(error instanceof Error ? error.message : '')?.[1];
  const before = content.slice(0, position === undefined ? content.length : Number(position)).split('\n');
  const place = `line ${before.length}, column ${(before.at(-1) ?? '').length + 1}`;
  return new CommandRefused(
    'malformed-json',
    content.trim() === '' ? 'There are no facts: the input is empty.' : `This is no JSON: it breaks at ${place}.`,
    'a JSON object of facts, an array of them, or one object a line',
  );
}
