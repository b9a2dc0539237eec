import { DomainError, type RefusalDetail } from '../refusal.js';
import type { Ensemble, SequenceStep } from './ensemble.js';

const oneOf = (ids: readonly string[]) => `one of: ${ids.join(', ')}`;

/** The ensemble has no such layer. */
export class UnknownLayer extends DomainError {
  constructor(ensemble: Ensemble, pointer: string) {
    super('unknown-layer', 'The ensemble has no such layer.', {
      pointer,
      accepted: oneOf(ensemble.layers.map(({ id }) => id)),
    });
  }
}

/** The sequence of that stage has no such step, or the stage has no steps at all. */
export class UnknownStep extends DomainError {
  constructor(sequence: readonly SequenceStep[] | null) {
    super('unknown-step', sequence ? 'The sequence has no such step.' : 'Only putting on and removal have steps.', {
      pointer: '/step',
      accepted: sequence
        ? `${oneOf(sequence.map(({ id }) => id))}; or null when it is not known`
        : 'null; or the stage "donning" or "removal"',
    });
  }
}

/** Two answers that cannot both hold. */
export class ContradictoryFacts extends DomainError {
  constructor(message: string, detail: RefusalDetail) {
    super('contradictory-facts', message, detail);
  }
}
