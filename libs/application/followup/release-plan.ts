import type { Instant } from '#domain';
import type { Answer, Idempotent, SecondClinicianCredentials } from '../answer.js';
import type { CredentialCheck } from '../access/credential-check.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

export interface ReleasePlanCommand extends Idempotent {
  readonly planId: string;
  /** Why before the window's end. */
  readonly early?: string | null;
  /** Required before the window's end. */
  readonly secondClinician?: SecondClinicianCredentials | null;
}

export interface ReleasedPlan {
  readonly planId: string;
  readonly incidentId: string;
  readonly releasedAt: Instant;
  readonly early: boolean;
}

/** The signed end of a follow-up. */
export class ReleasePlan {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly credentials: CredentialCheck,
  ) {}

  execute(_command: ReleasePlanCommand, _actor: Actor): Promise<Answer<ReleasedPlan>> {
    throw new Error('This use case is not built yet.');
  }
}
