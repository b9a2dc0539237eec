import type { Transaction } from '../ports/unit-of-work.js';
import type { AccountRecord, Actor, Role } from '../records/people.js';

/** Who is signed in, as their own page greets them. */
export interface SessionView {
  readonly accountId: string;
  readonly role: Role;
  readonly displayName: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly personId: string | null;
}

export function actorOf({ siteId, role, accountId, personId, unitIds }: AccountRecord): Actor {
  return { siteId, role, accountId, personId, unitIds };
}

/** Wearers and nurses are greeted by their own name; the other roles open no sealed identity, not even their own. */
export async function viewSession(tx: Transaction, account: AccountRecord): Promise<SessionView> {
  const { accountId, role, login, siteId, personId } = account;
  const { name: siteName } = await tx.site.read();
  const identity =
    personId !== null && (role === 'wearer' || role === 'nurse')
      ? (await tx.people.identities([personId])).get(personId)
      : undefined;
  return { accountId, role, displayName: identity?.name ?? login, siteId, siteName, personId };
}
