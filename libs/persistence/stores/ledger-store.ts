import type { Ledger, LedgerEntry, OutboxMessage, OutboxStore } from '#application';
import { OutboxEntity } from '../entities/outbox.entity.js';
import type { Scope } from '../unit-of-work/scope.js';

/** Who, when and in which transaction is stamped by the database from the context, not by the caller. */
export class PostgresLedger implements Ledger {
  constructor(private readonly scope: Scope) {}

  append(entry: LedgerEntry): Promise<void> {
    return this.appendAll([entry]);
  }

  async appendAll(entries: readonly LedgerEntry[]): Promise<void> {
    if (entries.length === 0) return;
    const { siteId } = this.scope;
    // Named columns: the role may write these and no stamp, which the mapper would name as well.
    await this.scope.change(
      `insert into ledger_entry (site_id, action, subject_kind, subject_id, person_id, detail)
       select $1, action, subject_kind, subject_id, person_id, detail
       from rows from (jsonb_to_recordset($2::jsonb)
         as (action text, subject_kind text, subject_id text, person_id uuid, detail jsonb)) with ordinality
       order by ordinality`,
      [
        siteId,
        JSON.stringify(
          entries.map(({ action, subjectKind, subjectId, personId, detail }) => ({
            action,
            subject_kind: subjectKind,
            subject_id: subjectId,
            person_id: personId,
            detail,
          })),
        ),
      ],
    );
  }
}

export class PostgresOutboxStore implements OutboxStore {
  constructor(private readonly scope: Scope) {}

  async insert(message: OutboxMessage): Promise<void> {
    await this.scope.insert(OutboxEntity, { ...message, siteId: this.scope.siteId });
  }
}
