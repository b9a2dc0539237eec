import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { SourceRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';

export interface CreateSourceCommand {
  /** Never a name or a hospital number. The same pseudonym again answers with the source that has it. */
  readonly pseudonym: string;
}

/** Registers a source under its pseudonym. */
export class CreateSource {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: CreateSourceCommand, _actor: Actor): Promise<SourceRecord> {
    throw new Error('This use case is not built yet.');
  }
}
