import { codingOf, MOST_VALUES, type AnswerCoding } from './answers.js';
import { compareDecimals, exactDecimal } from './decimal.js';
import { TableDefect } from './refusals.js';
import type { CutPoint, DecisionTable, FactDefinition, FactVocabulary, TableInput } from './table.js';

/** A fact that the table reads, over its finite values. */
export interface CompiledInput {
  readonly fact: string;
  /** How sentences name it. */
  readonly name: string;
  /** Its place in the table's own list of inputs. */
  readonly place: number;
  readonly definition: FactDefinition;
  readonly coding: AnswerCoding;
}

/** The inputs in the table's own order. Throws `TableDefect`. */
export function compileInputs(table: DecisionTable, vocabulary: FactVocabulary): CompiledInput[] {
  if (table.vocabulary !== vocabulary.version) {
    throw new TableDefect(table.id, `it is written for another vocabulary.`, '/vocabulary', vocabulary.version);
  }
  const seen = new Set<string>();
  return table.inputs.map((input, place) => {
    const pointer = `/inputs/${place}`;
    const definition = Object.hasOwn(vocabulary.facts, input.fact) ? vocabulary.facts[input.fact] : undefined;
    if (!definition) throw new TableDefect(table.id, `“${input.fact}” is not in the vocabulary.`, `${pointer}/fact`);
    if (seen.has(input.fact)) throw new TableDefect(table.id, `“${input.fact}” is listed twice.`, `${pointer}/fact`);
    seen.add(input.fact);
    const defect = definition.kind === 'quantity' ? cutsDefect(definition, input) : valuesDefect(definition, input);
    if (defect) throw new TableDefect(table.id, `“${input.fact}” ${defect}`, pointer);
    const name = vocabulary.names?.[input.fact] ?? input.fact;
    return { fact: input.fact, name, place, definition, coding: codingOf(definition, input.cuts) };
  });
}

function valuesDefect(
  definition: Exclude<FactDefinition, { kind: 'quantity' }>,
  input: TableInput,
): string | undefined {
  if (input.cuts) return 'has cuts, but is no quantity.';
  if (definition.kind === 'yesNo') return undefined;
  const { values } = definition;
  if (values.length < 2 || values.length > MOST_VALUES)
    return `has ${values.length} values; 2 to ${MOST_VALUES} are taken.`;
  if (new Set(values).size < values.length) return 'lists a value twice.';
  // "unknown" in a facts file says that the answer is missing; a value of that name could never be told from it.
  if (values.includes('unknown')) return 'has a value named “unknown”, which always means that the answer is missing.';
  return undefined;
}

function cutsDefect(
  { min, max }: Extract<FactDefinition, { kind: 'quantity' }>,
  { cuts = [] }: TableInput,
): string | undefined {
  const [least, most] = [exactDecimal(min), exactDecimal(max)];
  if (!least || !most || compareDecimals(least, most) >= 0) return 'has no proper limits in the vocabulary.';
  if (cuts.length === 0) return 'is a quantity and needs cuts.';
  if (cuts.length >= MOST_VALUES) return `has ${cuts.length} cuts; up to ${MOST_VALUES - 1} are taken.`;
  const seen: CutPoint[] = [];
  for (const cut of cuts) {
    const at = exactDecimal(cut.at);
    if (!at) return `has the cut ${cut.at}, which is no decimal.`;
    const belowIsEmpty = compareDecimals(at, least) < (cut.operator === '>=' ? 1 : 0);
    const aboveIsEmpty = compareDecimals(at, most) > (cut.operator === '>=' ? 0 : -1);
    if (belowIsEmpty || aboveIsEmpty) return `has the cut ${cut.operator} ${cut.at}, with nothing on one side of it.`;
    if (seen.some((other) => isSameCut(other, cut))) return `has the cut ${cut.operator} ${cut.at} twice.`;
    seen.push(cut);
  }
  return undefined;
}

function isSameCut(a: CutPoint, b: CutPoint): boolean {
  const [left, right] = [exactDecimal(a.at), exactDecimal(b.at)];
  return a.operator === b.operator && !!left && !!right && compareDecimals(left, right) === 0;
}
