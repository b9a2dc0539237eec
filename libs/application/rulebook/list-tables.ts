import { authorise } from '../access/authorise.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { tableCard, type TableCard } from './table-card.js';

/** Every table of the rulebook, and whether it may govern here. */
export class ListTables {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
  ) {}

  execute(actor: Actor): Promise<readonly TableCard[]> {
    authorise(actor, 'table.read');
    return this.work.run(actor, async (tx) => {
      const { settings } = await tx.site.read();
      const confirmations = await tx.site.confirmations();
      return this.rulebook.tables().map((edition) => tableCard(this.rulebook, edition, settings, confirmations));
    });
  }
}
