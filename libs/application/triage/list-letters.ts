import { compareInstants } from '#domain';
import { authorise } from '../access/authorise.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { incidentForLetter } from './letter-access.js';

export interface ListLettersCommand {
  readonly incidentId: string;
}

/** The letters of one incident, newest first. */
export class ListLetters {
  constructor(private readonly work: UnitOfWork) {}

  execute({ incidentId }: ListLettersCommand, actor: Actor): Promise<readonly LetterRecord[]> {
    const reach = authorise(actor, 'letter.read');
    return this.work.run(actor, async (tx) => {
      await incidentForLetter(tx, incidentId, reach, actor);
      const letters = await tx.letters.listByIncident(incidentId);
      return [...letters].sort((a, b) => compareInstants(b.createdAt, a.createdAt));
    });
  }
}
