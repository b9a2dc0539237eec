import type { BarrierPicture } from '#domain';
import type { PlanView } from '../followup/plan-view.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertRecord, LetterRecord } from '../records/followup.js';
import type { AssessmentRecord, DeterminationRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import type { IncidentView, TellingView } from './incident-view.js';

export interface ReadIncidentCommand {
  readonly incidentId: string;
}

export interface IncidentFile {
  readonly incident: IncidentView;
  readonly tellings: readonly TellingView[];
  /** Oldest first. */
  readonly assessments: readonly AssessmentRecord[];
  readonly determinations: readonly DeterminationRecord[];
  readonly plan: PlanView | null;
  readonly alerts: readonly AlertRecord[];
  readonly letters: readonly LetterRecord[];
  /** Of the newest assessment. */
  readonly barrier: BarrierPicture;
}

/** Everything about one incident that the reader may see. The ETag is `incident.revision`. */
export class ReadIncident {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ReadIncidentCommand, _actor: Actor): Promise<IncidentFile> {
    throw new Error('This use case is not built yet.');
  }
}
