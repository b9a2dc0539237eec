import { authorise } from '../access/authorise.js';
import { signatoryName } from '../access/signatory.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, LocalConfirmation } from '../records/people.js';
import { Conflict, Forbidden, UnacceptableEntry } from '../refusals.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';
import { tableNamed } from '../rulebook/read-table.js';

export interface ConfirmTableCommand {
  /** `id` (the newest) or `id@version`. */
  readonly ref: string;
  /** The remembered rules that were looked up. It takes all of them: a table is not live by half. */
  readonly rules: readonly string[];
}

/** A named clinician has looked up the remembered rows of a table: it may go live at this site. */
export class ConfirmTable {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  async execute({ ref, rules }: ConfirmTableCommand, actor: Actor): Promise<LocalConfirmation> {
    authorise(actor, 'table.confirm');
    const { accountId } = actor;
    if (accountId === null) throw new Forbidden();
    const { table, hash } = tableNamed(this.rulebook, ref);
    const remembered = this.rulebook.needsConfirmation(`${table.id}@${table.version}`);
    if (remembered.length === 0) throw new Conflict('No rule of this table waits for a confirmation.');
    const stranger = rules.findIndex((rule) => !remembered.includes(rule));
    const missing = remembered.filter((rule) => !rules.includes(rule));
    if (stranger >= 0 || missing.length > 0) {
      throw new UnacceptableEntry('Every remembered rule has to be looked up, and only those.', {
        pointer: stranger >= 0 ? `/rules/${stranger}` : '/rules',
        accepted: `all of: ${remembered.join(', ')}`,
      });
    }
    const confirmation = await this.work.run(actor, async (tx) => {
      const made: LocalConfirmation = {
        subject: table.id,
        version: table.version,
        hash,
        confirmedBy: accountId,
        confirmedByName: await signatoryName(tx, actor),
        at: tx.now,
      };
      await tx.site.confirm(made);
      await tx.ledger.append(
        ledgerEntry('table.confirmed', { kind: 'table', id: `${table.id}@${table.version}` }, { hash }),
      );
      return made;
    });
    this.sites.forget(actor.siteId);
    return confirmation;
  }
}
