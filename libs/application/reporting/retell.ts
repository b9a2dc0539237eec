import { type Assessment, type Ensemble, type Facts, type FollowUpPlan, type PlanDifference } from '#domain';
import { isClinicianFor } from '../access/clinician.js';
import { newAlert, raiseAlert, type AlertDraft } from '../followup/alerts.js';
import { askedKeys, withoutUnaskable } from '../followup/askable-checks.js';
import { needsDecision, notRosteredUntilDecided } from '../followup/duty.js';
import { newPlan } from '../followup/new-plan.js';
import { prophylaxisAlerts } from '../followup/prophylaxis-alerts.js';
import { doneKeys, tightenPlan } from '../followup/tighten-plan.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { Transaction } from '../ports/unit-of-work.js';
import type { CheckRecord, PlanRecord } from '../records/followup.js';
import type { IncidentContent, IncidentRecord, IncidentState } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { NotFound } from '../refusals.js';
import { assessmentRecord } from './assessment-record.js';
import { assessReport, type AssessedReport } from './assess-report.js';
import { callBackReasons } from './call-back.js';
import type { KnownSite } from './site-knowledge.js';

export interface RetellingRequest {
  readonly site: KnownSite;
  /** Locked, as it stood before. */
  readonly incident: IncidentRecord;
  readonly ensemble: Ensemble;
  /** As it is told now. */
  readonly content: IncidentContent;
  readonly sourceId: string | null;
  readonly account: string | null;
  readonly buddy: string | null;
  readonly answered: { readonly facts: Facts; readonly byClinician: boolean } | null;
}

export interface Retold {
  readonly incident: IncidentRecord;
  readonly assessed: AssessedReport;
  /** As it runs from now on; null where there never was one. */
  readonly plan: PlanRecord | null;
  readonly checks: readonly CheckRecord[];
  /** From the plan before to the plan for the new facts; null where there is neither. */
  readonly difference: PlanDifference | null;
  readonly tightenedAtOnce: boolean;
  /** It was released and is followed again. */
  readonly reopened: boolean;
  readonly needsDetermination: boolean;
}

const NO_CHANGE: Omit<PlanDifference, 'onlyTightens'> = {
  added: [],
  removed: [],
  moved: [],
  unchanged: [],
  restrictionsAdded: [],
  restrictionsRemoved: [],
};

function everythingAdded({ checks, restrictions }: FollowUpPlan): PlanDifference {
  return { ...NO_CHANGE, added: checks, restrictionsAdded: restrictions, onlyTightens: true };
}

/** What is done is never taken away, so it is not among what a signature would remove. */
export function everythingRemoved({ checks, restrictions }: FollowUpPlan, done: ReadonlySet<string>): PlanDifference {
  return {
    ...NO_CHANGE,
    removed: checks.filter(({ key }) => !done.has(key)),
    unchanged: checks.filter(({ key }) => done.has(key)),
    restrictionsRemoved: restrictions,
    onlyTightens: false,
  };
}

function decidesOtherwise(before: Assessment, now: Assessment): boolean {
  return (
    before.table !== now.table ||
    before.version !== now.version ||
    before.categoryId !== now.categoryId ||
    before.settled !== now.settled
  );
}

/**
 * A decision that rests on other facts waits for a human again. A release stands until the plan goes on, or until somebody
 * who may not decide tells more about it.
 */
function stateAfter(
  before: IncidentState,
  { otherwise, rewritten, decides }: { otherwise: boolean; rewritten: boolean; decides: boolean },
): IncidentState {
  if (before === 'released') return rewritten || !decides ? 'open' : 'released';
  return otherwise || rewritten ? 'open' : before;
}

interface Replanned {
  readonly difference: PlanDifference | null;
  /** To be written; null when the plan stays as it is. */
  readonly written: PlanRecord | null;
  readonly reopened: boolean;
}

function replan(
  tx: Transaction,
  current: PlanRecord | null,
  checks: readonly CheckRecord[],
  next: FollowUpPlan | null,
  incident: IncidentRecord,
): Replanned {
  const { revision } = incident;
  if (current === null) {
    return next === null
      ? { difference: null, written: null, reopened: false }
      : { difference: everythingAdded(next), written: newPlan(incident, next), reopened: false };
  }
  if (next === null) {
    return { difference: everythingRemoved(current.plan, doneKeys(checks)), written: null, reopened: false };
  }
  const { difference, replacement, reopened } = tightenPlan(current, next, { checks, revision, now: tx.now });
  return { difference, written: replacement, reopened };
}

/**
 * Appends a telling and its assessment. The plan tightens at once where the new facts ask for more; what they would take
 * away waits for a determination, and so does a decision that rests on older facts.
 */
export async function retell(
  tx: Transaction,
  rulebook: Rulebook,
  actor: Actor,
  { site, incident: before, ensemble, content, sourceId, account, buddy, answered }: RetellingRequest,
): Promise<Retold> {
  const { incidentId, personId } = before;
  const person = await tx.people.find(personId);
  const standing = (await tx.incidents.standings([incidentId])).get(incidentId);
  if (person === null || standing === undefined) throw new NotFound('incident');
  const current = await tx.plans.findByIncident(incidentId);
  const checksBefore = current === null ? [] : await tx.plans.checks(current.planId);

  const assessed = assessReport(rulebook, {
    site,
    ensemble,
    content,
    // A running plan keeps its own wall clock; whoever travels is planned anew.
    timeZone: current?.plan.timeZone ?? person.timeZone,
    answered,
  });
  const revised: IncidentRecord = { ...before, revision: before.revision + 1, content, sourceId };
  const next = assessed.plan && withoutUnaskable(assessed.plan, tx.now, askedKeys(checksBefore));
  const { difference, written, reopened } = replan(tx, current, checksBefore, next, revised);
  const otherwise = decidesOtherwise(standing.assessment.result, assessed.result);
  const decides = isClinicianFor(actor, personId);
  const state = stateAfter(before.state, { otherwise, rewritten: written !== null, decides });
  const incident: IncidentRecord = { ...revised, state };

  await tx.incidents.appendTelling(incident, {
    incidentId,
    revision: incident.revision,
    kind: 'amendment',
    content,
    account,
    buddy,
    byAccount: actor.accountId,
    at: tx.now,
  });
  await tx.incidents.appendAssessment(assessmentRecord(rulebook, incident, assessed, tx.now));
  if (written !== null) await (current === null ? tx.plans.insert(written) : tx.plans.replace(written));
  const plan = written ?? current;
  await tx.ledger.append(
    ledgerEntry('incident.amended', { kind: 'incident', id: incidentId, personId }, { revision: incident.revision }),
  );

  const followed = plan?.state === 'running' && assessed.plan !== null;
  if (followed && state === 'open' && needsDecision(assessed.result)) {
    await tx.dutyStatuses.set(notRosteredUntilDecided(person, tx.now));
  }
  const anew = state === 'open' && (otherwise || written !== null);
  const raised = await raiseFor(tx, site, before, incident, assessed, anew);
  const limits =
    written === null ? [] : prophylaxisAlerts(written.plan, { planId: written.planId, personId, incidentId }, tx.now);
  let limitsRaised = 0;
  for (const alert of limits) if (await raiseAlert(tx, alert, site.site)) limitsRaised += 1;
  if (raised + limitsRaised > 0) await tx.wake('send-notices');

  return {
    incident,
    assessed,
    plan,
    checks: plan === null ? [] : await tx.plans.checks(plan.planId),
    difference,
    tightenedAtOnce: written !== null,
    reopened,
    needsDetermination:
      (difference !== null && !difference.onlyTightens) || (before.state !== 'open' && state === 'open'),
  };
}

/** A call back, unless one is waiting already, and a second look at an implausible time. */
async function raiseFor(
  tx: Transaction,
  { site }: KnownSite,
  before: IncidentRecord,
  { incidentId, personId, revision, content }: IncidentRecord,
  { result }: AssessedReport,
  decidesAnew: boolean,
): Promise<number> {
  const drafts: AlertDraft[] = [];
  const about = { incidentId, personId };
  const asksNow = content.callMe && !before.content.callMe;
  const reasons = callBackReasons(content, result);
  if (reasons.length > 0 && (decidesAnew || asksNow)) {
    const open = await tx.alerts.list({ open: true, incidentId });
    if (!open.some(({ kind }) => kind === 'call-back')) {
      drafts.push({ ...about, alertKey: `call-back/${incidentId}/${revision}`, kind: 'call-back', reasons });
    }
  }
  if (content.confirmedImplausible && !before.content.confirmedImplausible) {
    drafts.push({
      ...about,
      alertKey: `implausible/${incidentId}/${revision}`,
      kind: 'implausible-entry',
      reasons: ['It is said to have happened more than a year ago.'],
    });
  }
  let raised = 0;
  for (const draft of drafts) if (await raiseAlert(tx, newAlert(draft, tx.now), site)) raised += 1;
  return raised;
}
