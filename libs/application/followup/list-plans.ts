import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import type { PlanView } from './plan-view.js';

export interface ListPlansCommand {
  /** A nurse names a person, or nobody for all running plans; a wearer gets the own ones. */
  readonly personId?: string | null;
}

/** The plans of one person, or all running ones. */
export class ListPlans {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListPlansCommand, _actor: Actor): Promise<readonly PlanView[]> {
    throw new Error('This use case is not built yet.');
  }
}
