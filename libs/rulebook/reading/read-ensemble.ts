import type { Ensemble, SequenceStep } from '#domain';
import { RulebookDefect } from '../refusals.js';
import type { Library } from './library.js';
import type { SourceRegister, WrittenEvidence } from './source-register.js';

type WrittenEnsemble = Omit<Ensemble, 'grade' | 'sources'> & WrittenEvidence;

/** Reads an ensemble; every layer goes on once and comes off once, so that no step can leave one in doubt. */
export function readEnsemble(library: Library, sources: SourceRegister, file: string): Ensemble {
  const written = library.read<WrittenEnsemble>(file, 'ensemble');
  const named = `${written.id}@${written.version}.yaml`;
  if (!file.endsWith(`/${named}`)) throw new RulebookDefect(file, '/id', `the file must be named ${named}`);
  const layers = written.layers.map(({ id }) => id);
  if (new Set(layers).size < layers.length) throw new RulebookDefect(file, '/layers', 'lists a layer twice');
  requireEachOnce(written.donning, layers, file, '/donning');
  requireEachOnce(written.removal, layers, file, '/removal');
  for (const layer of Object.keys(written.breachRules.donning)) {
    if (!layers.includes(layer)) {
      throw new RulebookDefect(
        file,
        `/breachRules/donning/${layer}`,
        'is no layer of this ensemble',
        layers.join(', '),
      );
    }
  }
  return { ...written, ...sources.evidence(written, file, '') };
}

function requireEachOnce(
  sequence: readonly SequenceStep[],
  layers: readonly string[],
  file: string,
  pointer: string,
): void {
  const named = sequence.flatMap((step) => step.layers);
  const stray = named.find((layer) => !layers.includes(layer));
  if (stray !== undefined) throw new RulebookDefect(file, pointer, `“${stray}” is no layer of this ensemble`);
  const wrong = layers.find((layer) => named.filter((other) => other === layer).length !== 1);
  if (wrong !== undefined) throw new RulebookDefect(file, pointer, `“${wrong}” must stand in exactly one step`);
  const steps = sequence.map(({ id }) => id);
  if (new Set(steps).size < steps.length) throw new RulebookDefect(file, pointer, 'has two steps of one id');
}
