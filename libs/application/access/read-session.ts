import type { AccountDirectory, SessionTokens } from '../ports/accounts.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import type { SessionView } from './session-view.js';

/** Whose session a token is. */
export class ReadSession {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly directory: AccountDirectory,
    protected readonly tokens: SessionTokens,
  ) {}

  /** Once a request: the actor behind the cookie, or null. */
  actorOf(_token: string): Promise<Actor | null> {
    throw new Error('This use case is not built yet.');
  }

  /** For the page's greeting. */
  execute(_actor: Actor): Promise<SessionView> {
    throw new Error('This use case is not built yet.');
  }
}
