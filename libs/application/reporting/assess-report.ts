import {
  assess,
  deriveBarrier,
  planFollowUp,
  type AgentProfile,
  type Assessment,
  type BarrierPicture,
  type Ensemble,
  type Facts,
  type FollowUpPlan,
  type Happening,
  type ReadingBands,
  type Ternary,
  type TimeZone,
} from '#domain';
import { bodyFluidOf, factsOf, plannedCategory } from '#rulebook';
import { pointingInto } from '../pointing.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { IncidentContent, OccurredInterval } from '../records/incident.js';
import { governingFor, type Governing } from './governing.js';
import { requireNoDownwardAnswer } from './given-facts.js';
import type { KnownSite } from './site-knowledge.js';

export interface AssessmentRequest {
  readonly site: Pick<KnownSite, 'site' | 'confirmations'>;
  readonly ensemble: Ensemble;
  readonly content: IncidentContent;
  /** The person's zone: local days are counted in it. */
  readonly timeZone: TimeZone;
  /**
   * Answers in `content.facts` that somebody gives now. A clinician may answer below what was derived; of anybody else it
   * is refused. Null when nothing new is answered.
   */
  readonly answered: { readonly facts: Facts; readonly byClinician: boolean } | null;
}

/** What follows from a report: barrier, facts, the governing table's assessment, and the plan for it. */
export interface AssessedReport {
  readonly barrier: BarrierPicture;
  readonly facts: Facts;
  readonly governing: Governing;
  readonly profile: AgentProfile;
  readonly result: Assessment;
  /** Null for a near miss, which was caught before any exposure. */
  readonly plan: FollowUpPlan | null;
}

/** A category as an assessment or a determination leaves it. */
export type DecidedCategory = Pick<Assessment, 'settled' | 'level' | 'categoryId'>;

/** A soiled surface is body fluid, whatever was wet. */
function fluidPresent({ fluid, lapses }: IncidentContent): Ternary {
  return lapses.includes('soiled-surface-touched') ? 'yes' : bodyFluidOf(fluid);
}

function happeningOf(content: IncidentContent): Happening {
  const { stage, step, breaches, foundWhole, seen } = content;
  return { stage, step, breaches, foundWhole, seen, fluid: fluidPresent(content) };
}

/** What the layers and what was seen say by themselves, without any answer in the vocabulary. */
function drawnFacts(barrier: BarrierPicture, content: IncidentContent): Facts {
  return factsOf({ routes: barrier.routes, content: { ...content, facts: {} } });
}

export function derivedFacts(ensemble: Ensemble, content: IncidentContent): Facts {
  return drawnFacts(deriveBarrier(ensemble, happeningOf(content)), content);
}

export interface PlanRequest {
  /** The id of the table that the category is of. */
  readonly table: string;
  /** Reference of the profile that governs. */
  readonly profile: string;
  readonly decided: DecidedCategory;
  readonly occurred: OccurredInterval;
  readonly timeZone: TimeZone;
  readonly bands: ReadingBands;
}

/**
 * A profile plans for its own table's categories. Where another table decided, the strictest is planned, unless nothing
 * happened at all by a settled assessment: then the deciding table's own profile plans for it.
 */
function plannedBy(
  rulebook: Rulebook,
  { table, profile: ref, decided }: Pick<PlanRequest, 'table' | 'profile' | 'decided'>,
): { readonly profile: AgentProfile; readonly category: string | undefined } {
  const { categoryId, settled, level } = decided;
  const profile = rulebook.profile(ref);
  const category = plannedCategory(profile, { table, categoryId });
  if (category === undefined && settled && level === 0) {
    const fallback = rulebook.profile(rulebook.fallback.profile);
    const nothing = plannedCategory(fallback, { table, categoryId });
    if (nothing !== undefined) return { profile: fallback, category: nothing };
  }
  return { profile, category };
}

/** The plan for one category, from the earliest to the latest moment at which it can have happened. */
export function planForCategory(rulebook: Rulebook, request: PlanRequest): FollowUpPlan {
  const { profile, category } = plannedBy(rulebook, request);
  const { from, until } = request.occurred;
  return planFollowUp({
    profile,
    ...(category === undefined ? {} : { category }),
    exposures: from === until ? [from] : [from, until],
    timeZone: request.timeZone,
    bands: request.bands,
  });
}

/** Everything that follows from a report, without a side effect: used for a report, an amendment and a changed source. */
export function assessReport(rulebook: Rulebook, request: AssessmentRequest): AssessedReport {
  const { site, ensemble, content, answered } = request;
  const barrier = deriveBarrier(ensemble, happeningOf(content));
  const { settings } = site.site;
  const governing = governingFor(
    rulebook,
    { governing: settings.governing, confirmations: site.confirmations },
    content.agent,
    content.certainty,
  );
  if (answered) requireNoDownwardAnswer(answered, drawnFacts(barrier, content));
  const facts = factsOf({ routes: barrier.routes, content });
  const result = pointingInto('/facts', () => assess(governing.edition, facts));
  const { occurred } = content;
  const { id: table } = governing.edition.table;
  const planned = { table, profile: governing.profile, decided: result };
  return {
    barrier,
    facts,
    governing,
    profile: plannedBy(rulebook, planned).profile,
    result,
    plan:
      content.kind === 'near-miss'
        ? null
        : planForCategory(rulebook, { ...planned, occurred, timeZone: request.timeZone, bands: settings.readingBands }),
  };
}
