import type { Instant } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { Conflict, NotFound, OwnCase } from '../refusals.js';

export interface CompleteCheckCommand {
  readonly planId: string;
  readonly checkKey: string;
}

export interface CompletedCheck {
  readonly planId: string;
  readonly checkKey: string;
  readonly doneAt: Instant;
}

/**
 * A nurse says that a contact, a test, an offer of support, a review or a prescriber's decision has been done. A reading is
 * done by its reading, a release by its signature.
 */
export class CompleteCheck {
  constructor(private readonly work: UnitOfWork) {}

  execute({ planId, checkKey }: CompleteCheckCommand, actor: Actor): Promise<CompletedCheck> {
    authorise(actor, 'check.complete');
    return this.work.run(actor, async (tx) => {
      const plan = await tx.plans.findForChange(planId);
      if (plan === null) throw new NotFound('plan');
      const { personId } = plan;
      if (personId === actor.personId) throw new OwnCase();
      const check = await tx.plans.findCheck(planId, checkKey);
      if (check === null) throw new NotFound('check');
      if (check.kind === 'reading' || check.kind === 'release') {
        throw new Conflict(
          check.kind === 'reading' ? 'A reading is done by entering it.' : 'A release is done by signing it.',
        );
      }
      if (check.state !== 'due') throw new Conflict('This check is not due any more.');
      await tx.plans.completeCheck(planId, checkKey, tx.now, null);
      await tx.ledger.append(
        ledgerEntry('check.completed', { kind: 'plan', id: planId, personId }, { kind: check.kind }),
      );
      return { planId, checkKey, doneAt: tx.now };
    });
  }
}
