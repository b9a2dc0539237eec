import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AccountRecord, Actor } from '../records/people.js';
import type { WearerView } from '../reporting/incident-view.js';

export interface ListPeopleCommand {
  /** Exact; people are found by it, never browsed. */
  readonly staffNumber?: string | null;
}

export interface FoundPerson extends WearerView {
  readonly unitId: string;
}

export interface PeopleList {
  /** For the nurse: the one who has this staff number, or nobody. */
  readonly people: readonly FoundPerson[];
  /** For the administrator: accounts without a clinical fact. */
  readonly accounts: readonly AccountRecord[];
}

/** A nurse finds one person by staff number; an administrator lists accounts. */
export class ListPeople {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListPeopleCommand, _actor: Actor): Promise<PeopleList> {
    throw new Error('This use case is not built yet.');
  }
}
