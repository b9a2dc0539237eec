import type { Assessment, BarrierPicture, Breach, Facts, Instant, Seen, Stage, Ternary, TimeZone } from '#domain';
import type { Answer, Idempotent } from '../answer.js';
import type { PlanView } from '../followup/plan-view.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Certainty, FirstAidAction, Fluid, IncidentKind, Lapse, Task } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import type { Advice } from './advise.js';
import type { SiteKnowledge } from './site-knowledge.js';

/** The coded answers of a report as they are handed in. What is absent is unknown, never "no". */
export interface ReportedContent {
  readonly kind: IncidentKind;
  readonly occurred: { readonly from: Instant; readonly until?: Instant | null; readonly timeZone: TimeZone };
  readonly leftAreaAt?: Instant | null;
  readonly stage: Stage;
  readonly step?: string | null;
  readonly breaches?: readonly {
    readonly layer: string;
    readonly extent?: Breach['extent'] | null;
    readonly manner?: Breach['manner'] | null;
  }[];
  readonly lapses?: readonly Lapse[];
  readonly foundWhole?: readonly string[];
  readonly task?: Task | null;
  readonly fluid?: Fluid | null;
  readonly seen?: { readonly [Answer in keyof Seen]?: Seen[Answer] | null } | null;
  readonly firstAid?: readonly { readonly action: FirstAidAction; readonly at?: Instant | null }[];
  readonly anyoneElse?: Ternary | null;
  readonly agent?: string | null;
  readonly certainty?: Certainty | null;
  readonly callMe: boolean;
  readonly facts?: Facts | null;
  /** The same entry again, after `needs-confirmation`. */
  readonly confirmed?: boolean;
}

export interface ReportIncidentCommand extends ReportedContent, Idempotent {
  /** Made by the client, UUID version 7, unique for ever: the guard against a doubled report. */
  readonly reportId: string;
  /** Groups the incidents of one event, one a person; a new event when absent. */
  readonly eventId?: string | null;
  readonly wearer: 'self' | { readonly staffNumber: string };
  /** The wearer's own unit when absent. */
  readonly unitId?: string | null;
  readonly buddy?: string | null;
  /** Pseudonym of the source. */
  readonly source?: string | null;
  readonly account?: string | null;
}

/** The answer to a report. Who reported for somebody else, and is no nurse, gets the advice alone. */
export interface ReportedIncident {
  readonly incidentId: string;
  readonly eventId: string;
  readonly reportId: string;
  readonly revision: number;
  readonly advice: Advice;
  readonly assessment: Assessment | null;
  /** Why this table governs, or why the cautious default stands in. */
  readonly governing: string | null;
  readonly barrier: BarrierPicture | null;
  /** Null for a near miss too. */
  readonly plan: PlanView | null;
}

/** Accepts a report: assessed, planned, raised to the nurse where needed, all in one transaction, once for each report id. */
export class ReportIncident {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly sites: SiteKnowledge,
  ) {}

  execute(_command: ReportIncidentCommand, _actor: Actor): Promise<Answer<ReportedIncident>> {
    throw new Error('This use case is not built yet.');
  }
}
