import { ledgerEntry } from '../ledger-entries.js';
import type { AccountDirectory, SessionTokens } from '../ports/accounts.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import { SignInRefused } from '../refusals.js';
import type { CredentialCheck } from './credential-check.js';
import { actorOf, viewSession, type SessionView } from './session-view.js';

export interface SignInCommand {
  readonly login: string;
  readonly password: string;
}

export interface SignedIn {
  /** For the cookie alone: it is stored nowhere. */
  readonly token: string;
  readonly session: SessionView;
}

/** Opens a session with a new token. */
export class SignIn {
  constructor(
    private readonly work: UnitOfWork,
    private readonly directory: AccountDirectory,
    private readonly credentials: CredentialCheck,
    private readonly tokens: SessionTokens,
  ) {}

  async execute({ login, password }: SignInCommand): Promise<SignedIn> {
    const account = await this.credentials.verify(login, password);
    if (account === null) throw new SignInRefused();
    const { token, tokenHash } = this.tokens.create();
    const { sessionId } = await this.directory.openSession(account, tokenHash);
    const session = await this.work.run(actorOf(account), async (tx) => {
      await tx.ledger.append(
        ledgerEntry('session.opened', { kind: 'session', id: sessionId, personId: account.personId }),
      );
      return viewSession(tx, account);
    });
    return { token, session };
  }
}
