import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { SourceRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';

/** The sources of a site with their dated statuses. */
export class ListSources {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_actor: Actor): Promise<readonly SourceRecord[]> {
    throw new Error('This use case is not built yet.');
  }
}
