import type { LocalDate } from '#domain';
import type { InsightCounts, UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

export interface CountBreachesCommand {
  readonly from: LocalDate;
  readonly until: LocalDate;
}

export interface BreachCounts extends InsightCounts {
  readonly cautions: readonly string[];
}

/** Counts of events, incidents and uses between two days, both included. */
export class CountBreaches {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: CountBreachesCommand, _actor: Actor): Promise<BreachCounts> {
    throw new Error('This use case is not built yet.');
  }
}
