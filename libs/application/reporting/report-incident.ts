import { v7, validate, version } from 'uuid';
import type { Assessment, BarrierPicture, Ensemble, Instant } from '#domain';
import { authorise } from '../access/authorise.js';
import { isClinicianFor } from '../access/clinician.js';
import type { Answer, Idempotent } from '../answer.js';
import { newAlert, noticeOf } from '../followup/alerts.js';
import { withoutUnaskable } from '../followup/askable-checks.js';
import { needsDecision, notRosteredUntilDecided } from '../followup/duty.js';
import { newPlan } from '../followup/new-plan.js';
import { checksDue, viewPlan, type PlanView } from '../followup/plan-view.js';
import { prophylaxisAlerts } from '../followup/prophylaxis-alerts.js';
import { fingerprintOf, principalOf, storedAnswer } from '../idempotency.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import { AlreadyStored, type Transaction, type UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertRecord, PlanRecord } from '../records/followup.js';
import type { IncidentContent, IncidentRecord } from '../records/incident.js';
import type { Actor, PersonRecord, UnitRecord } from '../records/people.js';
import { Conflict, UnacceptableEntry } from '../refusals.js';
import { sourceNamed } from '../triage/create-source.js';
import { advise, type Advice } from './advise.js';
import { assessmentRecord } from './assessment-record.js';
import { callBackReasons } from './call-back.js';
import { assessReport, type AssessedReport, type AssessmentRequest } from './assess-report.js';
import { textOf } from './free-text.js';
import { readContent } from './read-content.js';
import type { ReportedContent } from './reported-content.js';
import type { KnownSite, SiteKnowledge } from './site-knowledge.js';

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

/** One incident with all that a reporter may hear of it. */
interface Told {
  readonly incident: Pick<IncidentRecord, 'incidentId' | 'eventId' | 'reportId' | 'personId'>;
  readonly advice: Advice;
  readonly assessed: Pick<AssessedReport, 'result' | 'barrier'> & { readonly governing: string };
  readonly plan: PlanView | null;
}

const ROUTE = 'report-incident';
const NOTHING_ASKED: ReadonlySet<string> = new Set();

/** Accepts a report: assessed, planned, raised to the nurse where needed, all in one transaction, once for each report id. */
export class ReportIncident {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  async execute(command: ReportIncidentCommand, actor: Actor): Promise<Answer<ReportedIncident>> {
    authorise(actor, 'incident.report');
    requireIds(command);
    const { idempotencyKey: _, ...content } = command;
    const fingerprint = fingerprintOf(content);
    try {
      const body = await this.work.run(actor, (tx) => this.accept(tx, command, fingerprint, actor));
      return { outcome: 'new', body };
    } catch (error) {
      if (!(error instanceof AlreadyStored)) throw error;
      return this.work.run(actor, (tx) => this.answerAgain(tx, command, fingerprint, actor));
    }
  }

  /** Reads nothing that is known from a moment ago, and writes everything with one statement. */
  private async accept(
    tx: Transaction,
    command: ReportIncidentCommand,
    fingerprint: string,
    actor: Actor,
  ): Promise<ReportedIncident> {
    const { now } = tx;
    const known = await this.sites.read(tx, actor.siteId);
    const person = await this.wearerOf(tx, command.wearer, actor);
    const unit = unitOf(known, command.unitId ?? person.unitId);
    const content = readContent(command, { now, agents: this.rulebook.agents().map(({ code }) => code) });
    const sourceId = command.source ? (await sourceNamed(tx, command.source, '/source')).sourceId : null;
    const ensemble = this.rulebook.ensemble(unit.ensembleId, unit.ensembleVersion);
    const assessed = assessReport(this.rulebook, {
      site: known,
      ensemble,
      content,
      timeZone: person.timeZone,
      answered: { facts: content.facts, byClinician: isClinicianFor(actor, person.personId) },
    });

    const incident: IncidentRecord = {
      incidentId: v7(),
      eventId: command.eventId ?? v7(),
      reportId: command.reportId,
      personId: person.personId,
      unitId: unit.unitId,
      ensembleId: ensemble.id,
      ensembleVersion: ensemble.version,
      state: 'open',
      revision: 1,
      sourceId,
      reportedAt: now,
      reportedByAccount: actor.accountId,
      identityConfirmedAt: null,
      content,
    };
    const { incidentId, personId } = incident;
    const plan = assessed.plan && newPlan(incident, withoutUnaskable(assessed.plan, now, NOTHING_ASKED));
    const waits = plan !== null && needsDecision(assessed.result);
    const alerts = reportAlerts(incident, assessed, plan, now);
    const answer = this.tell(actor, known, ensemble, content, {
      incident,
      assessed: { ...assessed, governing: assessed.governing.why },
      plan: plan && viewPlan(plan, checksDue(plan), now, { identity: true }),
    });
    await tx.incidents.accept({
      incident,
      telling: {
        incidentId,
        revision: 1,
        kind: 'report',
        content,
        account: textOf(command.account),
        buddy: textOf(command.buddy),
        byAccount: actor.accountId,
        at: now,
      },
      assessment: assessmentRecord(this.rulebook, incident, assessed, now),
      plan,
      dutyStatus: waits ? notRosteredUntilDecided(person, now) : null,
      alerts,
      outbox: alerts.map((alert) => noticeOf(alert, known.site)),
      ledger: [
        ledgerEntry('incident.reported', { kind: 'incident', id: incidentId, personId }),
        ...alerts.map(({ alertId }) => ledgerEntry('alert.raised', { kind: 'alert', id: alertId, personId })),
      ],
      replay: {
        principal: principalOf(actor),
        route: ROUTE,
        key: command.idempotencyKey,
        fingerprint,
        status: 201,
        // The answer is long and can be told again from what is stored; the key only has to lead there.
        body: { incidentId },
        etag: '1',
      },
    });
    if (alerts.length > 0) await tx.wake('send-notices');
    return answer;
  }

  private async wearerOf(
    tx: Transaction,
    wearer: ReportIncidentCommand['wearer'],
    actor: Actor,
  ): Promise<PersonRecord> {
    if (wearer === 'self') {
      const own = actor.personId === null ? null : await this.sites.person(tx, actor.siteId, actor.personId);
      if (own) return own;
      throw new UnacceptableEntry('This account belongs to nobody who wears protective clothing.', {
        pointer: '/wearer',
        accepted: 'the staff number of the wearer',
      });
    }
    const named = await tx.people.findByStaffNumber(wearer.staffNumber.trim());
    if (named) return named;
    throw new UnacceptableEntry('Nobody at this site has this staff number.', {
      pointer: '/wearer/staffNumber',
      accepted: 'a staff number of this site',
    });
  }

  /** Who reported for somebody else hears what to do now, and nothing about the other person. */
  private tell(
    actor: Actor,
    { site }: KnownSite,
    ensemble: Ensemble,
    content: IncidentContent,
    { incident, assessed, plan }: Omit<Told, 'advice'>,
  ): ReportedIncident {
    const advice = advise({
      settings: site.settings,
      ensemble,
      content,
      routes: assessed.barrier.routes,
      assessment: assessed.result,
      firstAid: this.rulebook.firstAid(assessed.barrier.routes),
      questions: this.rulebook.questions,
    });
    const all = actor.role === 'nurse' || incident.personId === actor.personId;
    return {
      incidentId: incident.incidentId,
      eventId: incident.eventId,
      reportId: incident.reportId,
      revision: 1,
      advice,
      assessment: all ? assessed.result : null,
      governing: all ? assessed.governing : null,
      barrier: all ? assessed.barrier : null,
      plan: all ? plan : null,
    };
  }

  /** Told again from the stored incident: the report id is kept for ever, the key for thirty days. */
  private async answerAgain(
    tx: Transaction,
    command: ReportIncidentCommand,
    fingerprint: string,
    actor: Actor,
  ): Promise<Answer<ReportedIncident>> {
    const stored = await storedAnswer<object>(tx, actor, ROUTE, command.idempotencyKey, fingerprint);
    const incident = await tx.incidents.findByReportId(command.reportId);
    const mine =
      incident !== null && (incident.reportedByAccount === actor.accountId || incident.personId === actor.personId);
    if (!mine) {
      throw new Conflict(
        'This report is stored already; its answer is shown to the wearer and to occupational health.',
        {
          pointer: '/reportId',
          accepted: 'a new report id for a new report',
        },
      );
    }
    const known = await this.sites.read(tx, actor.siteId);
    const ensemble = this.rulebook.ensemble(incident.ensembleId, incident.ensembleVersion);
    const [told] = incident.revision === 1 ? [] : await tx.incidents.tellings(incident.incidentId);
    const content = told?.content ?? incident.content;
    const [made] = await tx.incidents.assessments(incident.incidentId);
    const plan = await tx.plans.findByIncident(incident.incidentId);
    const checks = plan === null ? [] : await tx.plans.checks(plan.planId);
    const assessed =
      made ?? this.assessAgain({ site: known, ensemble, content, timeZone: content.occurred.timeZone, answered: null });
    const body = this.tell(actor, known, ensemble, content, {
      incident,
      assessed,
      plan: plan && viewPlan(plan, checks, incident.reportedAt, { identity: true }),
    });
    return { outcome: stored ? 'replayed' : 'already-accepted', body };
  }

  /** For the buddy, who may not read the stored assessment any more: the advice needs one. */
  private assessAgain(request: AssessmentRequest): Told['assessed'] {
    const { result, barrier, governing } = assessReport(this.rulebook, request);
    return { result, barrier, governing: governing.why };
  }
}

function requireIds({ reportId, eventId }: ReportIncidentCommand): void {
  if (!validate(reportId) || version(reportId) !== 7) {
    throw new UnacceptableEntry('The report id has another form.', {
      pointer: '/reportId',
      accepted: 'a UUID of version 7 that the client made for this report',
    });
  }
  if (eventId && !validate(eventId)) {
    throw new UnacceptableEntry('The event id has another form.', {
      pointer: '/eventId',
      accepted: 'the event id of a report of the same event; or leave it out',
    });
  }
}

function unitOf({ units }: KnownSite, unitId: string): UnitRecord {
  const unit = units.get(unitId);
  if (unit) return unit;
  throw new UnacceptableEntry('This site has no such unit.', {
    pointer: '/unitId',
    accepted: `one of: ${[...units.values()].map((one) => `${one.unitId} (${one.name})`).join(', ')}`,
  });
}

function reportAlerts(
  { incidentId, personId, content }: IncidentRecord,
  { result }: AssessedReport,
  plan: PlanRecord | null,
  now: Instant,
): readonly AlertRecord[] {
  const about = { personId, incidentId };
  const reasons = callBackReasons(content, result);
  return [
    ...(reasons.length > 0
      ? [newAlert({ ...about, alertKey: `call-back/${incidentId}/1`, kind: 'call-back', reasons }, now)]
      : []),
    ...(content.confirmedImplausible
      ? [
          newAlert(
            {
              ...about,
              alertKey: `implausible/${incidentId}/1`,
              kind: 'implausible-entry',
              reasons: ['It is said to have happened more than a year before it was reported.'],
            },
            now,
          ),
        ]
      : []),
    ...(plan === null ? [] : prophylaxisAlerts(plan.plan, { ...about, planId: plan.planId }, now)),
  ];
}
