import type { Answer, Idempotent, SecondClinicianCredentials } from '../answer.js';
import type { CredentialCheck } from '../access/credential-check.js';
import type { PlanDifferenceCounts } from '../followup/plan-difference.js';
import type { PlanView } from '../followup/plan-view.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { DeterminationRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';

export interface DetermineCommand extends Idempotent {
  readonly incidentId: string;
  /** The revision that was read (If-Match). */
  readonly onRevision: number;
  readonly decision: 'confirm' | 'depart';
  /** A category of the assessment's table; required to depart. */
  readonly categoryId?: string | null;
  /** Required to depart. */
  readonly reason?: string | null;
  /** Required below the interim category. */
  readonly secondClinician?: SecondClinicianCredentials | null;
}

export interface Determined {
  readonly determination: DeterminationRecord;
  /** The incident's new revision, its ETag. */
  readonly revision: number;
  readonly plan: PlanView | null;
  readonly difference: PlanDifferenceCounts | null;
}

/** The nurse's signed decision. Plan and duty status follow it from now on. */
export class Determine {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly credentials: CredentialCheck,
  ) {}

  execute(_command: DetermineCommand, _actor: Actor): Promise<Answer<Determined>> {
    throw new Error('This use case is not built yet.');
  }
}
