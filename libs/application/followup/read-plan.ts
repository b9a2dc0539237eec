import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import type { PlanView } from './plan-view.js';

export interface ReadPlanCommand {
  readonly planId: string;
}

/** One plan with the state of its checks. */
export class ReadPlan {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ReadPlanCommand, _actor: Actor): Promise<PlanView> {
    throw new Error('This use case is not built yet.');
  }
}
