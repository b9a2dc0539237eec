import { v7 } from 'uuid';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Transaction, UnitOfWork } from '../ports/unit-of-work.js';
import type { SourceRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { UnacceptableEntry } from '../refusals.js';

export interface CreateSourceCommand {
  /** Never a name or a hospital number. The same pseudonym again answers with the source that has it. */
  readonly pseudonym: string;
}

/** The source with this pseudonym, entered when it is new. */
export async function sourceNamed(tx: Transaction, pseudonym: string, pointer: string): Promise<SourceRecord> {
  const trimmed = pseudonym.trim();
  if (!/^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,39}$/u.test(trimmed)) {
    throw new UnacceptableEntry('This is no pseudonym.', {
      pointer,
      accepted: '1 to 40 letters, digits, spaces or . _ - and never a name or a hospital number',
    });
  }
  const known = await tx.sources.findByPseudonym(trimmed);
  if (known) return known;
  const sourceId = v7();
  await tx.sources.insert(sourceId, trimmed);
  await tx.ledger.append(ledgerEntry('source.entered', { kind: 'source', id: sourceId }));
  return { sourceId, pseudonym: trimmed, statuses: [] };
}

/** Registers a source under its pseudonym. */
export class CreateSource {
  constructor(private readonly work: UnitOfWork) {}

  execute({ pseudonym }: CreateSourceCommand, actor: Actor): Promise<SourceRecord> {
    authorise(actor, 'source.change');
    return this.work.run(actor, (tx) => sourceNamed(tx, pseudonym, '/pseudonym'));
  }
}
