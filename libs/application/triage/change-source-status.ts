import type { Instant, LocalDate } from '#domain';
import type { PlanDifferenceCounts } from '../followup/plan-difference.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { SiteKnowledge } from '../reporting/site-knowledge.js';
import type { IncidentState, SourceRecord, SourceStatus } from '../records/incident.js';
import type { Actor } from '../records/people.js';

export interface ChangeSourceStatusCommand {
  readonly sourceId: string;
  readonly status: SourceStatus;
  readonly agent: string;
  readonly onDate: LocalDate;
  readonly sampledOn?: LocalDate | null;
}

/** What the change would mean for one incident. What would loosen waits for a signature. */
export interface LinkedIncident {
  readonly incidentId: string;
  readonly reportedAt: Instant;
  readonly state: IncidentState;
  readonly revision: number;
  readonly difference: PlanDifferenceCounts | null;
  readonly tightenedAtOnce: boolean;
  /** It was released, and the window of the new agent is still open. */
  readonly reopened: boolean;
  readonly needsDetermination: boolean;
}

export interface ChangedSource {
  readonly source: SourceRecord;
  readonly linked: readonly LinkedIncident[];
}

/** A dated change of what is known about a source. Nothing stops by itself; ruling out never removes a check. */
export class ChangeSourceStatus {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly sites: SiteKnowledge,
  ) {}

  execute(_command: ChangeSourceStatusCommand, _actor: Actor): Promise<ChangedSource> {
    throw new Error('This use case is not built yet.');
  }
}
