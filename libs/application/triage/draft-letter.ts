import { v7 } from 'uuid';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { LetterWriter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { buildReferral } from './build-referral.js';
import { incidentForLetter } from './letter-access.js';

export interface DraftLetterCommand {
  readonly incidentId: string;
  readonly kind: 'referral';
  /** A4 when absent. */
  readonly paper?: 'A4' | 'LETTER';
}

/**
 * Drafts the referral to occupational health for the incident as it stands now. While a draft that says the same
 * waits for its signature it is the answer, so a repeat makes no second one.
 */
export class DraftLetter {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly writer: LetterWriter,
  ) {}

  execute({ incidentId, kind, paper = 'A4' }: DraftLetterCommand, actor: Actor): Promise<LetterRecord> {
    const reach = authorise(actor, 'letter.draft');
    return this.work.run(actor, async (tx) => {
      const incident = await incidentForLetter(tx, incidentId, reach, actor);
      const drafts = await tx.letters.listByIncident(incidentId);
      const waiting = drafts.find(
        (letter) =>
          letter.signedAt === null &&
          letter.kind === kind &&
          letter.revision === incident.revision &&
          letter.paper === paper,
      );
      const write = (letterId: string) => buildReferral(tx, this.rulebook, incident, { letterId, paper }, null);
      if (waiting && this.writer.contentHash(await write(waiting.letterId)) === waiting.contentHash) return waiting;
      const letterId = v7();
      const model = await write(letterId);
      const letter: LetterRecord = {
        letterId,
        incidentId,
        kind,
        revision: incident.revision,
        contentHash: this.writer.contentHash(model),
        paper,
        signedBy: null,
        signedAt: null,
        createdAt: tx.now,
      };
      await tx.letters.insert(letter);
      await tx.ledger.append(
        ledgerEntry('letter.drafted', { kind: 'letter', id: letterId, personId: incident.personId }),
      );
      return letter;
    });
  }
}
