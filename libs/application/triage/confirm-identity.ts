import { requireLocalDate, type Instant, type LocalDate } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { Conflict, IdentityMismatch, NotFound, OwnCase } from '../refusals.js';

export interface ConfirmIdentityCommand {
  readonly incidentId: string;
  readonly staffNumber: string;
  readonly dateOfBirth: LocalDate;
}

export interface ConfirmedIdentity {
  readonly incidentId: string;
  readonly identityConfirmedAt: Instant;
}

/** Two identifiers, asked of the wearer, before anybody decides about them. */
export class ConfirmIdentity {
  constructor(private readonly work: UnitOfWork) {}

  async execute(command: ConfirmIdentityCommand, actor: Actor): Promise<ConfirmedIdentity> {
    authorise(actor, 'identity.confirm');
    const dateOfBirth = requireLocalDate(command.dateOfBirth, '/dateOfBirth');
    const { incidentId } = command;
    return this.work.run(actor, async (tx) => {
      const incident = await tx.incidents.findForChange(incidentId);
      if (incident === null) throw new NotFound('incident');
      const { personId } = incident;
      if (personId === actor.personId) throw new OwnCase();
      const identity = (await tx.people.identities([personId])).get(personId);
      if (!identity) throw new NotFound('incident');
      if (identity.dateOfBirth === null) {
        throw new Conflict(
          'No date of birth is on record for this person, so the second identifier cannot be compared.',
          {
            accepted: 'the date of birth entered by the administrator first',
          },
        );
      }
      if (identity.staffNumber.trim().toLowerCase() !== command.staffNumber.trim().toLowerCase()) {
        throw new IdentityMismatch('/staffNumber', 'the staff number that the wearer gives, as it is on record');
      }
      if (identity.dateOfBirth !== dateOfBirth) {
        throw new IdentityMismatch('/dateOfBirth', 'the date of birth that the wearer gives, as it is on record');
      }
      await tx.incidents.confirmIdentity(incidentId, tx.now);
      await tx.ledger.append(ledgerEntry('identity.confirmed', { kind: 'incident', id: incidentId, personId }));
      return { incidentId, identityConfirmedAt: tx.now };
    });
  }
}
