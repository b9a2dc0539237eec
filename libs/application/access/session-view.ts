import type { Role } from '../records/people.js';

/** Who is signed in, as their own page greets them. */
export interface SessionView {
  readonly accountId: string;
  readonly role: Role;
  readonly displayName: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly personId: string | null;
}
