import type { CompiledTable } from './compile.js';
import type { Finding } from './explain.js';
import type { DecisionTable } from './table.js';

/** Said with every result, whatever it is. */
const ALWAYS = [
  'This is a decision aid, not a diagnosis.',
  'Local policy, occupational health and licensed clinicians decide.',
];

/** What holds of a table whatever the facts are. */
export function tableCautions(table: DecisionTable): string[] {
  const cautions = [...ALWAYS, ...table.cautions];
  if (table.supersededBy !== undefined) {
    cautions.push(`This guidance is superseded by ${table.supersededBy}; it is kept so that old cases stay readable.`);
  } else if (table.validUntil !== undefined) {
    cautions.push(`This guidance was in effect until ${table.validUntil} and is kept so that old cases stay readable.`);
  }
  const remembered = [...table.rules, ...table.adjustments].filter(({ grade }) => grade === 'remembered');
  if (remembered.length > 0) {
    cautions.push(
      `This table needs local confirmation: ${remembered.length} of its rows are from memory and were not checked against the source.`,
    );
  }
  return cautions;
}

/** Everything that whoever reads this result has to be told. */
export function cautionsFor(
  { inputs, inTableOrder, ranking }: CompiledTable,
  standing: readonly string[],
  finding: Finding,
): string[] {
  const { facts, rank, outcomes, reach, worst } = finding;
  const cautions = [...standing];
  const category = ranking[rank];
  if (category?.level === null) {
    cautions.push(
      'The authority left this combination open. That is not the same as no risk: a clinician has to decide.',
    );
  }
  if (category?.derived)
    cautions.push(`The authority gives no name to this category; “${category.words}” is our wording.`);
  if (outcomes.some(({ collision }) => collision)) {
    cautions.push(
      'Rules of this table contradict each other here. The worse one was taken; the table has to be corrected.',
    );
  }
  const remembered = new Set(outcomes.flatMap((outcome) => outcome.remembered));
  if (remembered.size > 0) {
    cautions.push(
      `From memory and not checked against the source: ${[...remembered].join(', ')}. Have it confirmed here first.`,
    );
  }
  const actions = new Set(worst.flatMap((outcome) => outcome.actions.filter(({ grade }) => grade === 'remembered')));
  if (actions.size > 0) {
    const words = [...actions].map((action) => action.words.replace(/\.$/, ''));
    cautions.push(`Actions from memory, not checked against the source: ${words.join('; ')}.`);
  }
  const unknown: string[] = [];
  const within: string[] = [];
  for (const level of inTableOrder) {
    const { fact, name } = inputs[level] as (typeof inputs)[0];
    const allowed = reach.allowed[level] as number;
    if ((allowed & (allowed - 1)) === 0) continue;
    const answer = facts[fact];
    const isRange = typeof answer === 'object' && answer !== null;
    (isRange ? within : unknown).push(name);
  }
  if (unknown.length > 0) {
    cautions.push(`Not known: ${unknown.join(', ')}. Unknown is never read as “no”; the worse is assumed.`);
  }
  if (within.length > 0) cautions.push(`Known only within limits: ${within.join(', ')}. The worse end is assumed.`);
  return cautions;
}
