import { authorise } from '../access/authorise.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { SourceRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';

/** The sources of a site with their dated statuses. */
export class ListSources {
  constructor(private readonly work: UnitOfWork) {}

  execute(actor: Actor): Promise<readonly SourceRecord[]> {
    authorise(actor, 'source.read');
    return this.work.run(actor, (tx) => tx.sources.list());
  }
}
