import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { LetterWriter, ReferralLetter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { buildReferral } from './build-referral.js';
import { letterWithIncident, requireCurrent } from './letter-access.js';

export interface ReadLetterCommand {
  readonly letterId: string;
}

/** A letter's card, and its PDF: as it was signed, or with a draft mark. */
export class ReadLetter {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly writer: LetterWriter,
  ) {}

  execute({ letterId }: ReadLetterCommand, actor: Actor): Promise<LetterRecord> {
    const reach = authorise(actor, 'letter.read');
    return this.work.run(actor, async (tx) => (await letterWithIncident(tx, letterId, reach, actor)).letter);
  }

  async pdf({ letterId }: ReadLetterCommand, actor: Actor): Promise<Uint8Array> {
    const reach = authorise(actor, 'letter.read');
    const draft = await this.work.run(actor, async (tx): Promise<ReferralLetter | Uint8Array> => {
      const { letter, incident } = await letterWithIncident(tx, letterId, reach, actor);
      if (reach === 'site') {
        await tx.ledger.append(
          ledgerEntry('letter.read', { kind: 'letter', id: letterId, personId: incident.personId }),
        );
      }
      const signed = letter.signedAt === null ? null : await tx.letters.signedPdf(letterId);
      if (signed) return signed;
      requireCurrent(letter, incident);
      return buildReferral(tx, this.rulebook, incident, letter, null);
    });
    // Writing needs no transaction, so none is held open for it.
    return draft instanceof Uint8Array ? draft : this.writer.write(draft);
  }
}
