import { compareInstants } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { ReadingRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { NotFound } from '../refusals.js';

export interface ListReadingsCommand {
  readonly planId: string;
}

/** The readings of one plan, oldest first. */
export class ListReadings {
  constructor(private readonly work: UnitOfWork) {}

  execute({ planId }: ListReadingsCommand, actor: Actor): Promise<readonly ReadingRecord[]> {
    const reach = authorise(actor, 'reading.read');
    return this.work.run(actor, async (tx) => {
      const plan = await tx.plans.find(planId);
      if (plan === null || (reach === 'own' && plan.personId !== actor.personId)) throw new NotFound('plan');
      if (reach === 'site') {
        await tx.ledger.append(ledgerEntry('readings.read', { kind: 'plan', id: planId, personId: plan.personId }));
      }
      const readings = await tx.plans.readings(planId);
      return [...readings].sort((a, b) => compareInstants(a.at, b.at));
    });
  }
}
