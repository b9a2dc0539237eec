import type { LetterWriter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface SignLetterCommand {
  readonly letterId: string;
}

/** Signs a draft that still says what stands; its bytes are kept from then on. */
export class SignLetter {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly writer: LetterWriter,
  ) {}

  execute(_command: SignLetterCommand, _actor: Actor): Promise<LetterRecord> {
    throw new Error('This use case is not built yet.');
  }
}
