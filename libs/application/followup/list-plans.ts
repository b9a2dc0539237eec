import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { viewPlan, type PlanView } from './plan-view.js';

export interface ListPlansCommand {
  /** A nurse names a person, or nobody for all running plans. A wearer gets the own ones, and nothing for anybody else. */
  readonly personId?: string | null;
}

/** The plans of one person, or all running ones. */
export class ListPlans {
  constructor(private readonly work: UnitOfWork) {}

  execute({ personId = null }: ListPlansCommand, actor: Actor): Promise<readonly PlanView[]> {
    const reach = authorise(actor, 'plan.read');
    return this.work.run(actor, async (tx) => {
      if (reach === 'own' && (actor.personId === null || (personId !== null && personId !== actor.personId))) return [];
      const whose = reach === 'own' ? actor.personId : personId;
      const records = whose === null ? await tx.plans.running() : await tx.plans.listByPerson(whose);
      const checks = await tx.plans.checksOf(records.map(({ planId }) => planId));
      if (reach === 'site') {
        await tx.ledger.appendAll(
          records.map((record) =>
            ledgerEntry('plan.read', { kind: 'plan', id: record.planId, personId: record.personId }),
          ),
        );
      }
      return records.map((record) => viewPlan(record, checks.get(record.planId) ?? [], tx.now, { identity: true }));
    });
  }
}
