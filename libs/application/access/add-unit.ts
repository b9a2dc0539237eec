import { v7 } from 'uuid';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, UnitRecord } from '../records/people.js';
import { Conflict, UnacceptableEntry } from '../refusals.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';
import { authorise } from './authorise.js';

export interface AddUnitCommand {
  readonly name: string;
  /** The rulebook's own ensemble when absent. */
  readonly ensembleId?: string | null;
}

/** Adds a unit to the own site, with the ensemble that is worn there. */
export class AddUnit {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  async execute({ name, ensembleId }: AddUnitCommand, actor: Actor): Promise<UnitRecord> {
    authorise(actor, 'settings.change');
    const ensemble = this.findEnsemble(ensembleId ?? null);
    const unit: UnitRecord = {
      unitId: v7(),
      name: name.trim(),
      ensembleId: ensemble.id,
      ensembleVersion: ensemble.version,
    };
    if (unit.name === '') {
      throw new UnacceptableEntry('A unit needs a name.', { pointer: '/name', accepted: 'a name' });
    }
    await this.work.run(actor, async (tx) => {
      const present = await tx.site.units();
      if (present.some((other) => other.name === unit.name)) {
        throw new Conflict('A unit has this name already.', { pointer: '/name', accepted: 'another name' });
      }
      await tx.site.insertUnit(unit);
      await tx.ledger.append(ledgerEntry('unit.added', { kind: 'unit', id: unit.unitId }));
    });
    this.sites.forget(actor.siteId);
    return unit;
  }

  private findEnsemble(ensembleId: string | null) {
    const ensembles = this.rulebook.ensembles();
    const found = ensembleId === null ? ensembles[0] : ensembles.find(({ id }) => id === ensembleId);
    if (found) return found;
    throw new UnacceptableEntry('There is no such ensemble.', {
      pointer: '/ensembleId',
      accepted: `one of: ${ensembles.map(({ id }) => id).join(', ')}`,
    });
  }
}
