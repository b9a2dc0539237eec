import type { Instant, LocalDate } from '#domain';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

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
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ConfirmIdentityCommand, _actor: Actor): Promise<ConfirmedIdentity> {
    throw new Error('This use case is not built yet.');
  }
}
