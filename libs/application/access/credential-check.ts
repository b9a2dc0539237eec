import type { AccountDirectory, PasswordHasher } from '../ports/accounts.js';
import type { AccountRecord } from '../records/people.js';

/** Login and password against the directory, in the same time whether or not the login exists. */
export class CredentialCheck {
  constructor(
    private readonly directory: AccountDirectory,
    private readonly hasher: PasswordHasher,
  ) {}

  async verify(login: string, password: string): Promise<AccountRecord | null> {
    const found = await this.directory.findByLogin(login);
    const matches = await this.hasher.matches(found?.passwordHash ?? null, password);
    return found && matches ? found.account : null;
  }
}
