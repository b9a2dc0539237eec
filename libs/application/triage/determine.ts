import { v7 } from 'uuid';
import { differPlans, NOT_CLASSIFIED, worstFirst, type Assessment, type DecisionTable } from '#domain';
import { authorise } from '../access/authorise.js';
import type { CredentialCheck } from '../access/credential-check.js';
import { requireNotTheWearer, secondClinicianOf } from '../access/second-clinician.js';
import { signatoryName } from '../access/signatory.js';
import type { Answer, Idempotent, SecondClinicianCredentials } from '../answer.js';
import { askedKeys, withoutUnaskable } from '../followup/askable-checks.js';
import { refreshDutyStatus } from '../followup/duty.js';
import { newPlan } from '../followup/new-plan.js';
import { countDifference, type PlanDifferenceCounts } from '../followup/plan-difference.js';
import { viewPlan, type PlanView } from '../followup/plan-view.js';
import { raiseAlert } from '../followup/alerts.js';
import { prophylaxisAlerts } from '../followup/prophylaxis-alerts.js';
import { doneKeys, reopens, running } from '../followup/tighten-plan.js';
import { once } from '../idempotency.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { Transaction, UnitOfWork } from '../ports/unit-of-work.js';
import type { CheckRecord, PlanRecord } from '../records/followup.js';
import type { AssessmentRecord, DeterminationRecord, IncidentRecord } from '../records/incident.js';
import type { AccountRecord, Actor, PersonRecord, SiteRecord } from '../records/people.js';
import {
  Forbidden,
  IdentityNotConfirmed,
  NotFound,
  OwnCase,
  SecondClinicianNeeded,
  StaleVersion,
  UnacceptableEntry,
} from '../refusals.js';
import { planForCategory, type DecidedCategory } from '../reporting/assess-report.js';
import { textOf } from '../reporting/free-text.js';

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

interface Decision extends DecidedCategory {
  readonly category: string;
  readonly departs: boolean;
  readonly reason: string | null;
}

/** The nurse's signed decision. Plan and duty status follow it from now on. */
export class Determine {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly credentials: CredentialCheck,
  ) {}

  async execute(command: DetermineCommand, actor: Actor): Promise<Answer<Determined>> {
    authorise(actor, 'incident.determine');
    const second = await secondClinicianOf(this.credentials, command.secondClinician, actor);
    const { idempotencyKey, secondClinician: _, ...content } = command;
    const request = {
      route: 'determine',
      key: idempotencyKey,
      content: { ...content, secondClinician: second?.accountId ?? null },
    };
    return once(this.work, actor, request, (tx) => this.sign(tx, command, second, actor));
  }

  private async sign(
    tx: Transaction,
    command: DetermineCommand,
    second: AccountRecord | null,
    actor: Actor,
  ): Promise<Determined> {
    const { incidentId } = command;
    const { accountId } = actor;
    if (accountId === null) throw new Forbidden();
    const before = await tx.incidents.findForChange(incidentId);
    if (before === null) throw new NotFound('incident');
    const { personId } = before;
    if (personId === actor.personId) throw new OwnCase();
    requireNotTheWearer(second, personId);
    if (before.identityConfirmedAt === null) throw new IdentityNotConfirmed();
    if (before.revision !== command.onRevision) throw new StaleVersion(before.revision);
    const standing = (await tx.incidents.standings([incidentId])).get(incidentId);
    const person = await tx.people.find(personId);
    if (standing === undefined || person === null) throw new NotFound('incident');
    const { assessment } = standing;
    const decision = this.decide(command, assessment);
    if (worstFirst(assessment.result, decision) < 0 && second === null) {
      throw new SecondClinicianNeeded('This is below the interim category, so a second clinician has to sign.');
    }

    const determination: DeterminationRecord = {
      determinationId: v7(),
      incidentId,
      onRevision: before.revision,
      assessmentId: assessment.assessmentId,
      categoryId: decision.categoryId,
      category: decision.category,
      departs: decision.departs,
      reason: decision.reason,
      signedBy: accountId,
      signedByName: await signatoryName(tx, actor),
      secondClinician: second?.accountId ?? null,
      secondClinicianName: second && (await signatoryName(tx, second)),
      at: tx.now,
    };
    const site = await tx.site.read();
    const current = await tx.plans.findByIncident(incidentId);
    const checks = current === null ? [] : await tx.plans.checks(current.planId);
    const revised: IncidentRecord = { ...before, revision: before.revision + 1, state: 'determined' };
    const next = this.replan(tx, {
      site,
      incident: revised,
      assessment,
      determination,
      decision,
      current,
      checks,
      person,
    });
    const incident: IncidentRecord = next?.state === 'released' ? { ...revised, state: 'released' } : revised;

    await tx.incidents.appendDetermination(incident, determination);
    if (next !== null && next !== current) await (current === null ? tx.plans.insert(next) : tx.plans.replace(next));
    if (next?.state === 'running') await followSigned(tx, next, site);
    await tx.ledger.append(
      ledgerEntry(
        'incident.determined',
        { kind: 'incident', id: incidentId, personId },
        { revision: incident.revision, departs: decision.departs, secondClinician: second !== null },
      ),
    );
    await refreshDutyStatus(tx, person);
    return {
      determination,
      revision: incident.revision,
      plan: next && viewPlan(next, await tx.plans.checks(next.planId), tx.now, { identity: true }),
      difference: current && next && countDifference(differPlans(current.plan, next.plan, doneKeys(checks))),
    };
  }

  /** What is signed, in the terms of the assessment's own table. */
  private decide({ decision, categoryId, reason }: DetermineCommand, { result }: AssessmentRecord): Decision {
    const { table } = this.rulebook.table(`${result.table}@${result.version}`);
    if (decision === 'confirm') {
      if (categoryId && categoryId !== result.categoryId) {
        throw new UnacceptableEntry('Another category than the assessed one is a departure.', {
          pointer: '/categoryId',
          accepted: `${result.categoryId}, or none; or the decision "depart" with a reason`,
        });
      }
      return { ...settledAs(table, result.categoryId, result), departs: false, reason: textOf(reason) };
    }
    const others = table.categories.map(({ id }) => id).filter((id) => id !== result.categoryId);
    if (!categoryId || !others.includes(categoryId)) {
      throw new UnacceptableEntry('A departure names another category of the same table.', {
        pointer: '/categoryId',
        accepted: `one of: ${others.join(', ')}`,
      });
    }
    const why = textOf(reason);
    if (why === null) {
      throw new UnacceptableEntry('A departure has a reason.', { pointer: '/reason', accepted: 'why, in a sentence' });
    }
    return { ...settledAs(table, categoryId, result), departs: true, reason: why };
  }

  /** A near miss that is confirmed stays without a plan; a release stands, unless more is asked within an open window. */
  private replan(
    tx: Transaction,
    { site, incident, assessment, determination, decision, current, checks, person }: Replanning,
  ): PlanRecord | null {
    if (current === null && incident.content.kind === 'near-miss' && !decision.departs) return null;
    const whole = planForCategory(this.rulebook, {
      table: assessment.result.table,
      profile: assessment.profile,
      decided: decision,
      occurred: incident.content.occurred,
      timeZone: current?.plan.timeZone ?? person.timeZone,
      bands: site.settings.readingBands,
    });
    const plan = withoutUnaskable(whole, tx.now, askedKeys(checks));
    if (current?.state === 'released' && !reopens(current, plan, tx.now)) return current;
    return running({
      ...(current ?? newPlan(incident, plan)),
      plan,
      revision: incident.revision,
      basis: 'determination',
      determinationId: determination.determinationId,
    });
  }
}

interface Replanning {
  readonly site: SiteRecord;
  readonly incident: IncidentRecord;
  readonly assessment: AssessmentRecord;
  readonly determination: DeterminationRecord;
  readonly decision: Decision;
  readonly current: PlanRecord | null;
  readonly checks: readonly CheckRecord[];
  readonly person: PersonRecord;
}

/** The signature is what the first review waits for. Time limits that come with the category go to a prescriber at once. */
async function followSigned(tx: Transaction, next: PlanRecord, site: SiteRecord): Promise<void> {
  const { planId, personId, incidentId } = next;
  const review = next.plan.checks.find(({ kind, ordinal }) => kind === 'review' && ordinal === 1);
  const stored = review && (await tx.plans.findCheck(planId, review.key));
  if (stored?.state === 'due') await tx.plans.completeCheck(planId, stored.key, tx.now, null);
  let raised = 0;
  for (const alert of prophylaxisAlerts(next.plan, { planId, personId, incidentId }, tx.now)) {
    if (await raiseAlert(tx, alert, site)) raised += 1;
  }
  if (raised > 0) await tx.wake('send-notices');
}

function settledAs(
  table: DecisionTable,
  categoryId: string,
  assessed: Assessment,
): Omit<Decision, 'departs' | 'reason'> {
  if (categoryId === NOT_CLASSIFIED) return { categoryId, category: assessed.category, level: null, settled: true };
  const { words, level } = table.categories.find(({ id }) => id === categoryId) ?? {
    words: assessed.category,
    level: assessed.level,
  };
  return { categoryId, category: words, level, settled: true };
}
