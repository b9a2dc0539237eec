import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, LocalConfirmation } from '../records/people.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';

export interface ConfirmTableCommand {
  /** `id` (the newest) or `id@version`. */
  readonly ref: string;
  /** The remembered rules that were looked up; all of them, or the table stays as it was. */
  readonly rules: readonly string[];
}

/** A named clinician has looked up the remembered rows of a table: it may go live at this site. */
export class ConfirmTable {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly sites: SiteKnowledge,
  ) {}

  execute(_command: ConfirmTableCommand, _actor: Actor): Promise<LocalConfirmation> {
    throw new Error('This use case is not built yet.');
  }
}
