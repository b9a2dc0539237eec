import type { Instant, Level } from '#domain';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { IncidentKind, IncidentState, OccurredInterval } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import type { WearerView } from './incident-view.js';

export interface ListIncidentsCommand {
  readonly state?: IncidentState;
  readonly cursor?: string;
  /** 1 to 200; 50 when absent. */
  readonly limit?: number;
}

export interface ListedIncident {
  readonly incidentId: string;
  readonly eventId: string;
  readonly reportedAt: Instant;
  readonly occurred: OccurredInterval;
  readonly unitId: string;
  readonly kind: IncidentKind;
  readonly state: IncidentState;
  readonly revision: number;
  /** As determined, else as assessed; in the issuer's words. */
  readonly category: string;
  /** Null when the authority does not classify it. */
  readonly level: Level | null;
  readonly settled: boolean;
  readonly openAlerts: number;
  readonly identityConfirmed: boolean;
  readonly wearer: WearerView;
}

export interface IncidentPage {
  readonly items: readonly ListedIncident[];
  readonly nextCursor: string | null;
}

/** The queue: within a page what has open alerts and the higher level first, then the older. */
export class ListIncidents {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListIncidentsCommand, _actor: Actor): Promise<IncidentPage> {
    throw new Error('This use case is not built yet.');
  }
}
