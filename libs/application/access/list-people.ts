import { authorise } from './authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AccountRecord, Actor } from '../records/people.js';
import { UnacceptableEntry } from '../refusals.js';
import { viewWearer, type WearerView } from '../reporting/incident-view.js';

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
  constructor(private readonly work: UnitOfWork) {}

  async execute({ staffNumber = null }: ListPeopleCommand, actor: Actor): Promise<PeopleList> {
    if (authorise(actor, 'people.list') === 'accounts') {
      return { people: [], accounts: await this.work.run(actor, (tx) => tx.site.accounts()) };
    }
    if (staffNumber === null || staffNumber.trim() === '') {
      throw new UnacceptableEntry('People are found by their staff number.', {
        pointer: '/staffNumber',
        accepted: 'one whole staff number',
      });
    }
    return this.work.run(actor, async (tx) => {
      const person = await tx.people.findByStaffNumber(staffNumber.trim());
      if (person === null) return { people: [], accounts: [] };
      const { personId, unitId } = person;
      const identity = (await tx.people.identities([personId])).get(personId) ?? null;
      await tx.ledger.append(ledgerEntry('person.read', { kind: 'person', id: personId, personId }));
      return { people: [{ ...viewWearer(person, identity), unitId }], accounts: [] };
    });
  }
}
