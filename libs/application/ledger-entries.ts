import type { LedgerEntry } from './ports/unit-of-work.js';

/**
 * One line of the ledger: a verb, an id, and whom it is about.
 *
 * @example ledgerEntry('alert.closed', { kind: 'alert', id: alertId, personId }, { outcome })
 */
export function ledgerEntry(
  action: string,
  subject: { readonly kind: string; readonly id: string; readonly personId?: string | null },
  detail: LedgerEntry['detail'] = {},
): LedgerEntry {
  return {
    action,
    subjectKind: subject.kind,
    subjectId: subject.id,
    personId: subject.personId ?? null,
    detail,
  };
}
