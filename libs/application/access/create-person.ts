import { v4, v7 } from 'uuid';
import { requireLocalDate, requireTimeZone, type LocalDate, type TimeZone } from '#domain';
import { ledgerEntry } from '../ledger-entries.js';
import type { AccountDirectory, PasswordHasher } from '../ports/accounts.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, Role } from '../records/people.js';
import { Conflict, UnacceptableEntry } from '../refusals.js';
import { authorise } from './authorise.js';
import { requirePassword } from './password-rule.js';

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
    private readonly work: UnitOfWork,
    private readonly directory: AccountDirectory,
    private readonly hasher: PasswordHasher,
  ) {}

  async execute(command: CreatePersonCommand, actor: Actor): Promise<CreatedPerson> {
    authorise(actor, 'people.create');
    const dateOfBirth = command.dateOfBirth ? requireLocalDate(command.dateOfBirth, '/dateOfBirth') : null;
    const timeZone = command.timeZone ? requireTimeZone(command.timeZone, '/timeZone') : null;
    const { account = null } = command;
    // Hashed before the transaction: it takes longer than everything in it.
    const passwordHash = account === null ? null : await this.passwordHash(account.login, account.password);
    return this.work.run(actor, async (tx) => {
      const units = await tx.site.units();
      const requireUnit = (unitId: string, pointer: string) => {
        if (units.some((unit) => unit.unitId === unitId)) return;
        throw new UnacceptableEntry('This site has no such unit.', {
          pointer,
          accepted: 'the id of a unit of this site',
        });
      };
      requireUnit(command.unitId, '/unitId');
      account?.unitIds?.forEach((unitId, index) => requireUnit(unitId, `/account/unitIds/${index}`));
      if (await tx.people.findByStaffNumber(command.staffNumber.trim())) {
        throw new Conflict('Somebody has this staff number already.', {
          pointer: '/staffNumber',
          accepted: 'a staff number that nobody here has',
        });
      }
      const personId = v7();
      const site = await tx.site.read();
      await tx.people.insert(
        {
          personId,
          unitId: command.unitId,
          pseudonym: `P-${v4().slice(0, 8).toUpperCase()}`,
          rosterRef: v4(),
          job: command.job,
          timeZone: timeZone ?? site.timeZone,
        },
        {
          name: command.name.trim(),
          staffNumber: command.staffNumber.trim(),
          dateOfBirth,
          telephone: command.telephone ?? null,
          email: command.email ?? null,
        },
      );
      await tx.ledger.append(ledgerEntry('person.entered', { kind: 'person', id: personId, personId }));
      if (account === null) return { personId, accountId: null };
      const accountId = v7();
      await tx.site.insertAccount({
        accountId,
        siteId: actor.siteId,
        personId,
        role: account.role,
        login: account.login,
        unitIds: account.unitIds ?? [],
        passwordHash,
      });
      await tx.ledger.append(
        ledgerEntry('account.entered', { kind: 'account', id: accountId, personId }, { role: account.role }),
      );
      return { personId, accountId };
    });
  }

  private async passwordHash(login: string, password: string): Promise<string> {
    requirePassword(password, '/account/password');
    // Logins are unique over all sites, since nobody says at sign-in which site is theirs.
    if (await this.directory.findByLogin(login)) {
      throw new Conflict('This login is taken.', { pointer: '/account/login', accepted: 'another login' });
    }
    return this.hasher.hash(password);
  }
}
