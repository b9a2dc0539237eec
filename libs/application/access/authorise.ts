import type { Actor } from '../records/people.js';
import { Forbidden } from '../refusals.js';
import { ACCESS_MATRIX, type Operation, type Reach } from './access-matrix.js';

/**
 * How far this actor reaches in this operation; refuses when not at all.
 *
 * @example if (authorise(actor, 'incident.read') === 'own') …
 */
export function authorise(actor: Actor, operation: Operation): Reach {
  const reaches: Partial<Record<Actor['role'], Reach>> = ACCESS_MATRIX[operation];
  const reach = reaches[actor.role];
  if (reach === undefined) throw new Forbidden();
  return reach;
}
