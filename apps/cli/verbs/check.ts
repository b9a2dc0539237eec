import { checkTable, type CompiledTable, type FactDefinition, type TableCheck } from '#domain';
import { loadRulebook, type Rulebook } from '#rulebook';
import { BadUsage, CommandRefused } from '../problem.js';
import type { Verb } from '../verb.js';

const usage = 'check --table <id>[@version]|--file FILE [--inputs]';

/** Proves a table and prints what was proven; with `--inputs`, its facts and their values instead. */
export const verb: Verb = {
  usage,
  options: { table: { type: 'string' }, file: { type: 'string' }, inputs: { type: 'boolean', default: false } },
  async run({ table: ref, file, inputs }, terminal) {
    if ((typeof ref === 'string') === (typeof file === 'string')) {
      throw new BadUsage('Name a table or a file, one of the two.', `innerglove ${usage}`);
    }
    const rulebook = loadRulebook();
    const table = typeof ref === 'string' ? rulebook.table(ref) : rulebook.readTable(String(file));
    if (inputs) {
      terminal.stdout.write(`${JSON.stringify(inputsOf(table, rulebook), null, 2)}\n`);
      return 0;
    }
    const start = performance.now();
    const check = checkTable(table);
    const proofMilliseconds = Math.round((performance.now() - start) * 100) / 100;
    terminal.stdout.write(`${JSON.stringify({ ...check, proofMilliseconds }, null, 2)}\n`);
    const defects = defectsOf(check);
    if (defects.length > 0) {
      throw new CommandRefused('table-defect', `The table cannot be used: it has ${defects.join(' and ')}.`);
    }
    return 0;
  },
};

/** Gaps and collisions make a table unusable; a rule that never fires is reported and does no harm. */
function defectsOf({ gaps, gapCombinations, collisions }: TableCheck): string[] {
  const found: string[] = [];
  if (gaps.length > 0) found.push(`no rule for ${gapCombinations} of the possible combinations`);
  if (collisions.length > 0) found.push(`${collisions.length} pairs of rules that contradict each other`);
  return found;
}

/** A table's facts in its own order, so that a stranger can write a facts file. */
function inputsOf({ table, inputs, inTableOrder }: CompiledTable, { questions }: Rulebook) {
  return {
    table: table.id,
    version: table.version,
    vocabulary: table.vocabulary,
    unknown: 'leave the fact out, or say null or "unknown"',
    inputs: inTableOrder.flatMap((level) => {
      const input = inputs[level];
      if (!input) return [];
      const { question, help } = questions[input.fact] ?? {};
      return [
        {
          fact: input.fact,
          question,
          help,
          ...acceptedOf(input.definition),
          ...(input.definition.kind === 'quantity' ? { bands: input.coding.labels } : {}),
        },
      ];
    }),
    impossible: table.impossible,
  };
}

function acceptedOf(definition: FactDefinition) {
  switch (definition.kind) {
    case 'yesNo':
      return { kind: 'yesNo', values: ['yes', 'no'] };
    case 'choice':
      return { kind: 'choice', values: definition.values };
    case 'quantity': {
      const { unit, min, max } = definition;
      return { kind: 'quantity', unit, min, max, range: '{"min": …, "max": …}, either end may be left out' };
    }
  }
}
