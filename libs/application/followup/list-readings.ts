import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { ReadingRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface ListReadingsCommand {
  readonly planId: string;
}

/** The readings of one plan, oldest first. */
export class ListReadings {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListReadingsCommand, _actor: Actor): Promise<readonly ReadingRecord[]> {
    throw new Error('This use case is not built yet.');
  }
}
