import type { AccountRecord } from '../records/people.js';

export interface SessionRecord {
  readonly sessionId: string;
  readonly account: AccountRecord;
}

/** Sign-in happens before a site is known, so it goes through two database functions instead of the unit of work. */
export abstract class AccountDirectory {
  /** The account and its password hash, or null; the caller takes the same time either way. */
  abstract findByLogin(
    login: string,
  ): Promise<{ readonly account: AccountRecord; readonly passwordHash: string } | null>;
  /** Opens a session; `tokenHash` is the SHA-256 of the cookie's token, which is never stored. */
  abstract openSession(account: AccountRecord, tokenHash: string): Promise<SessionRecord>;
  /** The session if it is neither idle for too long, too old nor ended; moves its idle clock. */
  abstract findSession(tokenHash: string): Promise<SessionRecord | null>;
  abstract endSession(tokenHash: string): Promise<void>;
}

export abstract class PasswordHasher {
  abstract hash(password: string): Promise<string>;
  /** `null` stands for a login that nobody has: the same work is done, and the answer is false. */
  abstract matches(hash: string | null, password: string): Promise<boolean>;
}

/** Session tokens: 32 random bytes for the cookie, and what is stored instead of them. */
export abstract class SessionTokens {
  abstract create(): { readonly token: string; readonly tokenHash: string };
  /** SHA-256, hexadecimal. */
  abstract hash(token: string): string;
}

/** Which sites there are: asked before anybody is signed in, so it names no person and no setting. */
export abstract class SiteDirectory {
  abstract list(): Promise<readonly { readonly siteId: string; readonly slug: string; readonly name: string }[]>;
}

/** The right to set the service up, given once to whoever started it. */
export abstract class SetupTokens {
  /** Takes the token, so that a second caller finds none; null when it is another one, used or too old. */
  abstract claim(token: string): Promise<SetupClaim | null>;
}

export interface SetupClaim {
  /** The token is spent. */
  settle(): Promise<void>;
  /** Nothing was set up: the token is as good as before. */
  release(): Promise<void>;
}
