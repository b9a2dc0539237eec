import type { AccountDirectory, SessionTokens } from '../ports/accounts.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { CredentialCheck } from './credential-check.js';
import type { SessionView } from './session-view.js';

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
    protected readonly work: UnitOfWork,
    protected readonly directory: AccountDirectory,
    protected readonly credentials: CredentialCheck,
    protected readonly tokens: SessionTokens,
  ) {}

  execute(_command: SignInCommand): Promise<SignedIn> {
    throw new Error('This use case is not built yet.');
  }
}
