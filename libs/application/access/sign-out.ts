import type { AccountDirectory, SessionTokens } from '../ports/accounts.js';

/** Ends the session on the server; a token that is not known is as good as signed out. */
export class SignOut {
  constructor(
    private readonly directory: AccountDirectory,
    private readonly tokens: SessionTokens,
  ) {}

  async execute(token: string): Promise<void> {
    await this.directory.endSession(this.tokens.hash(token));
  }
}
