import type { DataSource } from 'typeorm';
import { AccountDirectory, type AccountRecord, type Role, type SessionRecord } from '#application';
import { translateFailure } from './failures.js';
import { normaliseLogin } from './stores/site-store.js';

/** How long a session lives without use, and at most. */
export interface SessionLimits {
  readonly idleMinutes: number;
  readonly lifetimeHours: number;
}

/** Sign-in, through database functions that give one account or session for one exact login or token. */
export class PostgresAccountDirectory extends AccountDirectory {
  constructor(
    private readonly source: DataSource,
    private readonly limits: SessionLimits = { idleMinutes: 15, lifetimeHours: 12 },
  ) {
    super();
  }

  async findByLogin(login: string): Promise<{ account: AccountRecord; passwordHash: string } | null> {
    const [found] = await this.#call<AccountRow & { password_hash: string }>('select * from find_account($1)', [
      normaliseLogin(login),
    ]);
    return found ? { account: accountOf(found), passwordHash: found.password_hash } : null;
  }

  async openSession(account: AccountRecord, tokenHash: string): Promise<SessionRecord> {
    const [opened] = await this.#call<{ session_id: string }>(
      `select open_session($1, $2, $3, make_interval(mins => $4), make_interval(hours => $5)) as session_id`,
      [account.siteId, account.accountId, bytesOf(tokenHash), this.limits.idleMinutes, this.limits.lifetimeHours],
    );
    if (opened === undefined) throw new Error('Opening a session always gives one.');
    return { sessionId: opened.session_id, account };
  }

  async findSession(tokenHash: string): Promise<SessionRecord | null> {
    const [found] = await this.#call<AccountRow & { session_id: string }>('select * from find_session($1)', [
      bytesOf(tokenHash),
    ]);
    return found ? { sessionId: found.session_id, account: accountOf(found) } : null;
  }

  async endSession(tokenHash: string): Promise<void> {
    await this.#call('select end_session($1)', [bytesOf(tokenHash)]);
  }

  async #call<Row>(text: string, values: unknown[]): Promise<Row[]> {
    try {
      return await this.source.query<Row[]>(text, values);
    } catch (error) {
      throw translateFailure(error);
    }
  }
}

interface AccountRow {
  readonly site_id: string;
  readonly account_id: string;
  readonly person_id: string | null;
  readonly role: Role;
  readonly login: string;
  readonly unit_ids: string[];
}

function accountOf({ site_id, account_id, person_id, role, login, unit_ids }: AccountRow): AccountRecord {
  return { accountId: account_id, siteId: site_id, personId: person_id, role, login, unitIds: unit_ids };
}

const bytesOf = (tokenHash: string): Buffer => Buffer.from(tokenHash, 'hex');
