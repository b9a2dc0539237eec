import { authorise } from '../access/authorise.js';
import { signatoryName } from '../access/signatory.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { LetterWriter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { Conflict, Forbidden, OwnCase } from '../refusals.js';
import { buildReferral } from './build-referral.js';
import { letterWithIncident, outdated, requireCurrent } from './letter-access.js';

export interface SignLetterCommand {
  readonly letterId: string;
}

/** Signs a draft that still says what stands; its bytes are kept from then on. */
export class SignLetter {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly writer: LetterWriter,
  ) {}

  execute({ letterId }: SignLetterCommand, actor: Actor): Promise<LetterRecord> {
    const reach = authorise(actor, 'letter.sign');
    const { accountId } = actor;
    if (accountId === null) throw new Forbidden();
    return this.work.run(actor, async (tx) => {
      const { letter, incident } = await letterWithIncident(tx, letterId, reach, actor);
      if (incident.personId === actor.personId) throw new OwnCase();
      if (letter.signedAt !== null) throw new Conflict('This letter is signed already.');
      requireCurrent(letter, incident);
      const signature = { name: await signatoryName(tx, actor), at: tx.now };
      const model = await buildReferral(tx, this.rulebook, incident, letter, signature);
      // The settings of the site stand in it too, and have no revision.
      if (this.writer.contentHash(model) !== letter.contentHash) throw outdated();
      await tx.letters.sign(letterId, accountId, tx.now, await this.writer.write(model));
      await tx.ledger.append(
        ledgerEntry('letter.signed', { kind: 'letter', id: letterId, personId: incident.personId }),
      );
      return { ...letter, signedBy: accountId, signedAt: tx.now };
    });
  }
}
