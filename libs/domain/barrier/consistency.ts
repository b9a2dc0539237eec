import { pointerStep } from '../refusal.js';
import type { Ensemble, SequenceStep } from './ensemble.js';
import type { Breach, Happening } from './happening.js';
import { ContradictoryFacts, UnknownLayer, UnknownStep } from './refusals.js';

/** Where in a sequence a layer's turn comes last; -1 where no step names it. */
export function stepIndexOf(sequence: readonly SequenceStep[], layer: string): number {
  return sequence.findLastIndex((step) => step.layers.includes(layer));
}

/** A hole is a hole: these leave no layer whole, however small. */
const leavesHole = ({ manner }: Breach) => manner === 'tear' || manner === 'puncture';

/** Refuses what the ensemble does not have and what cannot have happened together, naming the answer by its pointer. */
export function requireConsistent(ensemble: Ensemble, happening: Happening): void {
  const known = new Set(ensemble.layers.map(({ id }) => id));
  const breachAt = (index: number) => `/breaches${pointerStep(index)}/layer`;

  happening.breaches.forEach(({ layer }, index) => {
    if (!known.has(layer)) throw new UnknownLayer(ensemble, breachAt(index));
  });
  happening.foundWhole.forEach((layer, index) => {
    if (!known.has(layer)) throw new UnknownLayer(ensemble, `/foundWhole${pointerStep(index)}`);
  });
  requireStep(ensemble, happening);

  happening.foundWhole.forEach((layer, index) => {
    const refuted = happening.breaches.some(
      (breach) => breach.layer === layer && (breach.extent === 'total' || leavesHole(breach)),
    );
    if (refuted) {
      throw new ContradictoryFacts('A layer is reported both as breached and as found whole.', {
        pointer: `/foundWhole${pointerStep(index)}`,
        accepted: 'a layer stands among the breaches or among the layers found whole, not in both',
      });
    }
  });

  if (happening.stage !== 'removal' || happening.step === null) return;
  const reached = ensemble.removal.findIndex(({ id }) => id === happening.step);
  happening.breaches.forEach((breach, index) => {
    const turn = stepIndexOf(ensemble.removal, breach.layer);
    // A missing layer was never there to be taken off, so it may be noticed at any step.
    if (turn >= 0 && turn < reached && breach.manner !== 'missing') {
      throw new ContradictoryFacts('A layer is reported to have failed at a step before which it was taken off.', {
        pointer: breachAt(index),
        accepted:
          'a layer that was still on at that step; or the step at which it failed; or null when that is not known',
      });
    }
  });
}

function requireStep(ensemble: Ensemble, { stage, step }: Happening): void {
  if (step === null) return;
  const sequence = stage === 'removal' ? ensemble.removal : stage === 'donning' ? ensemble.donning : null;
  if (!sequence?.some(({ id }) => id === step)) throw new UnknownStep(sequence);
}
