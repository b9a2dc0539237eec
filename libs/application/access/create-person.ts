import type { LocalDate, TimeZone } from '#domain';
import type { AccountDirectory, PasswordHasher } from '../ports/accounts.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, Role } from '../records/people.js';

export interface CreatePersonCommand {
  readonly name: string;
  readonly staffNumber: string;
  readonly dateOfBirth?: LocalDate | null;
  readonly telephone?: string | null;
  readonly email?: string | null;
  readonly unitId: string;
  readonly job: string;
  /** The site's zone when absent. */
  readonly timeZone?: TimeZone | null;
  /** A person may have no account: a telephone round, a paper diary. */
  readonly account?: {
    readonly login: string;
    readonly password: string;
    readonly role: Role;
    /** The units whose duty list a manager reads. */
    readonly unitIds?: readonly string[];
  } | null;
}

export interface CreatedPerson {
  readonly personId: string;
  readonly accountId: string | null;
}

/** Enters a person, with an account where wanted. */
export class CreatePerson {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly directory: AccountDirectory,
    protected readonly hasher: PasswordHasher,
  ) {}

  execute(_command: CreatePersonCommand, _actor: Actor): Promise<CreatedPerson> {
    throw new Error('This use case is not built yet.');
  }
}
