import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AccountRecord } from '../records/people.js';
import { authorise } from './authorise.js';
import { actorOf, viewSession, type SessionView } from './session-view.js';

/** Who is signed in, for the page's greeting. */
export class ReadSession {
  constructor(private readonly work: UnitOfWork) {}

  async execute(account: AccountRecord): Promise<SessionView> {
    const actor = actorOf(account);
    authorise(actor, 'session.read');
    return this.work.run(actor, (tx) => viewSession(tx, account));
  }
}
