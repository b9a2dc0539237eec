import { createHash, randomBytes } from 'node:crypto';
import { SessionTokens } from '#application';

/** 32 random bytes for the cookie; the database holds their SHA-256, so that a copy of it opens no session. */
export class RandomSessionTokens extends SessionTokens {
  override create(): { readonly token: string; readonly tokenHash: string } {
    const token = randomBytes(32).toString('base64url');
    return { token, tokenHash: this.hash(token) };
  }

  override hash(token: string): string {
    return createHash('sha256').update(token).digest('hex');
  }
}
