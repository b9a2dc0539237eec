import type { LetterWriter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface DraftLetterCommand {
  readonly incidentId: string;
  readonly kind: 'referral';
  /** A4 when absent. */
  readonly paper?: 'A4' | 'LETTER';
}

/** Drafts the referral to occupational health for the incident as it stands now. */
export class DraftLetter {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly writer: LetterWriter,
  ) {}

  execute(_command: DraftLetterCommand, _actor: Actor): Promise<LetterRecord> {
    throw new Error('This use case is not built yet.');
  }
}
