import type { Ledger, LedgerEntry, OutboxMessage, OutboxStore } from '#application';
import { LedgerEntryEntity } from '../entities/ledger-entry.entity.js';
import { OutboxEntity } from '../entities/outbox.entity.js';
import type { Scope } from '../unit-of-work/scope.js';

/** Who, when and in which transaction is stamped by the database from the context, not by the caller. */
export class PostgresLedger implements Ledger {
  constructor(private readonly scope: Scope) {}

  append(entry: LedgerEntry): Promise<void> {
    return this.appendAll([entry]);
  }

  async appendAll(entries: readonly LedgerEntry[]): Promise<void> {
    const { siteId } = this.scope;
    await this.scope.insert(
      LedgerEntryEntity,
      entries.map((entry) => ({ siteId, ...entry })),
    );
  }
}

export class PostgresOutboxStore implements OutboxStore {
  constructor(private readonly scope: Scope) {}

  async insert(message: OutboxMessage): Promise<void> {
    await this.scope.insert(OutboxEntity, { ...message, siteId: this.scope.siteId });
  }
}
