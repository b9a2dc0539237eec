import type { CompiledTable } from './compile.js';
import { UnacceptableAnswer, UnknownFact } from './refusals.js';
import type { Facts } from './table.js';

/**
 * Reads facts into the set of values that each input may still have, by level. Every fact of the vocabulary is checked;
 * those that this table does not use are then left aside, since tables share one vocabulary.
 * Throws `UnknownFact` and `UnacceptableAnswer`.
 */
export function encodeFacts(table: CompiledTable, facts: Facts, allowed: Int32Array): void {
  if (typeof facts !== 'object' || (facts as unknown) === null || Array.isArray(facts)) {
    throw new UnacceptableAnswer('', 'an object of facts, for example {"fact":"yes"}');
  }
  const { inputs } = table;
  for (let level = 0; level < inputs.length; level++) allowed[level] = (inputs[level] as (typeof inputs)[0]).coding.all;
  for (const fact of Object.keys(facts)) {
    const known = table.facts.get(fact);
    if (known === undefined) throw unknownFact(table, fact);
    const mask = known.coding.encode(facts[fact], fact);
    if (known.level >= 0) allowed[known.level] = mask;
  }
}

function unknownFact(table: CompiledTable, fact: string): UnknownFact {
  return new UnknownFact(table.vocabulary.version, fact, Object.keys(table.vocabulary.facts));
}
