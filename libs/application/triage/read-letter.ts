import type { LetterWriter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface ReadLetterCommand {
  readonly letterId: string;
}

/** A letter's card, and its PDF: as it was signed, or with a draft mark. */
export class ReadLetter {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly writer: LetterWriter,
  ) {}

  execute(_command: ReadLetterCommand, _actor: Actor): Promise<LetterRecord> {
    throw new Error('This use case is not built yet.');
  }

  pdf(_command: ReadLetterCommand, _actor: Actor): Promise<Uint8Array> {
    throw new Error('This use case is not built yet.');
  }
}
