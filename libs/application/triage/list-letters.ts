import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface ListLettersCommand {
  readonly incidentId: string;
}

/** The letters of one incident, newest first. */
export class ListLetters {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListLettersCommand, _actor: Actor): Promise<readonly LetterRecord[]> {
    throw new Error('This use case is not built yet.');
  }
}
