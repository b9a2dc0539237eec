import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { NotFound } from '../refusals.js';
import { viewPlan, type PlanView } from './plan-view.js';

export interface ReadPlanCommand {
  readonly planId: string;
}

/** One plan with the state of its checks. */
export class ReadPlan {
  constructor(private readonly work: UnitOfWork) {}

  execute({ planId }: ReadPlanCommand, actor: Actor): Promise<PlanView> {
    const reach = authorise(actor, 'plan.read');
    return this.work.run(actor, async (tx) => {
      const record = await tx.plans.find(planId);
      if (record === null || (reach === 'own' && record.personId !== actor.personId)) throw new NotFound('plan');
      if (reach === 'site') {
        await tx.ledger.append(ledgerEntry('plan.read', { kind: 'plan', id: planId, personId: record.personId }));
      }
      return viewPlan(record, await tx.plans.checks(planId), tx.now, { identity: true });
    });
  }
}
