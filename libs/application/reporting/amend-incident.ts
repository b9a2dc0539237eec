import type { Assessment, BarrierPicture } from '#domain';
import type { PlanDifferenceCounts } from '../followup/plan-difference.js';
import type { PlanView } from '../followup/plan-view.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import type { Advice } from './advise.js';
import type { ReportedContent } from './report-incident.js';
import type { SiteKnowledge } from './site-knowledge.js';

export interface AmendIncidentCommand {
  readonly incidentId: string;
  /** The revision that was read (If-Match). */
  readonly onRevision: number;
  /** Only what is changed; a field that is absent stays as it was told before. */
  readonly changes: Partial<ReportedContent> & { readonly source?: string | null };
  readonly account?: string | null;
  readonly buddy?: string | null;
}

export interface AmendedIncident {
  readonly incidentId: string;
  readonly revision: number;
  readonly advice: Advice;
  readonly assessment: Assessment;
  readonly governing: string;
  readonly barrier: BarrierPicture;
  readonly plan: PlanView | null;
  /** What the plan for the new facts would change; null when there is no plan before or after. */
  readonly difference: PlanDifferenceCounts | null;
  readonly tightenedAtOnce: boolean;
  /** What is left to a signature: everything that would loosen, and a decision that rests on older facts. */
  readonly needsDetermination: boolean;
}

/** Appends to an incident what was learnt later. The plan may tighten at once; only a determination loosens it. */
export class AmendIncident {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
    protected readonly sites: SiteKnowledge,
  ) {}

  execute(_command: AmendIncidentCommand, _actor: Actor): Promise<AmendedIncident> {
    throw new Error('This use case is not built yet.');
  }
}
