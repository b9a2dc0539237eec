import type { Assessment, BarrierPicture, Facts } from '#domain';
import { authorise } from '../access/authorise.js';
import { isClinicianFor } from '../access/clinician.js';
import { countDifference, type PlanDifferenceCounts } from '../followup/plan-difference.js';
import { viewPlan, type PlanView } from '../followup/plan-view.js';
import { pointingInto, pointingIntoLater } from '../pointing.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { IncidentContent } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { NotFound, StaleVersion } from '../refusals.js';
import { sourceNamed } from '../triage/create-source.js';
import { advise, type Advice } from './advise.js';
import { derivedFacts } from './assess-report.js';
import { textOf } from './free-text.js';
import { stillStanding } from './given-facts.js';
import { readContent } from './read-content.js';
import type { ReportedContent } from './reported-content.js';
import { retell } from './retell.js';
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

/** What was told before with the changes over it. A step belongs to its stage and goes with it. */
function merged(before: IncidentContent, changes: Partial<ReportedContent>): ReportedContent {
  const given = Object.fromEntries(
    Object.entries(changes).filter(([, value]) => value !== undefined),
  ) as Partial<ReportedContent>;
  const otherStage = given.stage !== undefined && given.stage !== before.stage;
  return {
    ...before,
    ...(otherStage ? { step: null } : {}),
    ...given,
    seen: { ...before.seen, ...given.seen },
    facts: { ...before.facts, ...given.facts },
  };
}

/** Appends to an incident what was learnt later. The plan may tighten at once; only a determination loosens it. */
export class AmendIncident {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  execute(command: AmendIncidentCommand, actor: Actor): Promise<AmendedIncident> {
    const reach = authorise(actor, 'incident.amend');
    const { incidentId, onRevision, changes } = command;
    return this.work.run(actor, async (tx) => {
      const before = await tx.incidents.findForChange(incidentId);
      if (before === null || (reach === 'own' && before.personId !== actor.personId)) throw new NotFound('incident');
      if (before.revision !== onRevision) throw new StaleVersion(before.revision);
      const site = await this.sites.read(tx, actor.siteId);
      const ensemble = this.rulebook.ensemble(before.ensembleId, before.ensembleVersion);
      const told = pointingInto('/changes', () =>
        readContent(merged(before.content, changes), {
          now: tx.now,
          agents: this.rulebook.agents().map(({ code }) => code),
          ...(changes.occurred === undefined ? { ageJudged: before.content.confirmedImplausible } : {}),
        }),
      );
      const drawn = pointingInto('/changes', () => derivedFacts(ensemble, told));
      const answered: Facts = changes.facts ?? {};
      const earlier = Object.fromEntries(Object.entries(told.facts).filter(([fact]) => !(fact in answered)));
      const now = Object.fromEntries(Object.entries(told.facts).filter(([fact]) => fact in answered));
      const content: IncidentContent = {
        ...told,
        facts: { ...stillStanding(earlier, drawn), ...now },
      };
      const source = changes.source ? await sourceNamed(tx, changes.source, '/changes/source') : null;

      const retold = await pointingIntoLater('/changes', () =>
        retell(tx, this.rulebook, actor, {
          site,
          incident: before,
          ensemble,
          content,
          sourceId: source?.sourceId ?? before.sourceId,
          account: textOf(command.account),
          buddy: textOf(command.buddy),
          answered: { facts: now, byClinician: isClinicianFor(actor, before.personId) },
        }),
      );
      const { assessed, plan, checks, difference, tightenedAtOnce, needsDetermination } = retold;
      return {
        incidentId,
        revision: retold.incident.revision,
        advice: advise({
          settings: site.site.settings,
          ensemble,
          content,
          routes: assessed.barrier.routes,
          assessment: assessed.result,
          firstAid: this.rulebook.firstAid(assessed.barrier.routes),
          questions: this.rulebook.questions,
        }),
        assessment: assessed.result,
        governing: assessed.governing.why,
        barrier: assessed.barrier,
        plan: plan && viewPlan(plan, checks, tx.now, { identity: true }),
        difference: difference && countDifference(difference),
        tightenedAtOnce,
        needsDetermination,
      };
    });
  }
}
