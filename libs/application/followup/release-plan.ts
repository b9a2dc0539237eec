import type { Instant } from '#domain';
import { authorise } from '../access/authorise.js';
import type { CredentialCheck } from '../access/credential-check.js';
import { requireNotTheWearer, secondClinicianOf } from '../access/second-clinician.js';
import type { Answer, Idempotent, SecondClinicianCredentials } from '../answer.js';
import { once } from '../idempotency.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { ReleaseSignature, Transaction, UnitOfWork } from '../ports/unit-of-work.js';
import type { PlanRecord } from '../records/followup.js';
import type { AccountRecord, Actor } from '../records/people.js';
import {
  AlertOpen,
  Conflict,
  Forbidden,
  NotDetermined,
  NotFound,
  OwnCase,
  SecondClinicianNeeded,
  WindowOpen,
} from '../refusals.js';
import { textOf } from '../reporting/free-text.js';
import { ILLNESS_ALERTS } from './alerts.js';
import { refreshDutyStatus } from './duty.js';
import { windowIsOver } from './tighten-plan.js';

export interface ReleasePlanCommand extends Idempotent {
  readonly planId: string;
  /** Why before the window's end. */
  readonly early?: string | null;
  /** Required before the window's end. */
  readonly secondClinician?: SecondClinicianCredentials | null;
}

export interface ReleasedPlan {
  readonly planId: string;
  readonly incidentId: string;
  readonly releasedAt: Instant;
  readonly early: boolean;
}

/** The signed end of a follow-up. */
export class ReleasePlan {
  constructor(
    private readonly work: UnitOfWork,
    private readonly credentials: CredentialCheck,
  ) {}

  async execute(command: ReleasePlanCommand, actor: Actor): Promise<Answer<ReleasedPlan>> {
    authorise(actor, 'plan.release');
    const second = await secondClinicianOf(this.credentials, command.secondClinician, actor);
    const { idempotencyKey, planId, early = null } = command;
    const request = {
      route: 'release-plan',
      key: idempotencyKey,
      content: { planId, early, secondClinician: second?.accountId ?? null },
    };
    return once(this.work, actor, request, (tx) => this.release(tx, command, second, actor));
  }

  private async release(
    tx: Transaction,
    { planId, early }: ReleasePlanCommand,
    second: AccountRecord | null,
    actor: Actor,
  ): Promise<ReleasedPlan> {
    const { accountId: by } = actor;
    if (by === null) throw new Forbidden();
    const plan = await tx.plans.findForChange(planId);
    if (plan === null) throw new NotFound('plan');
    const { personId, incidentId } = plan;
    if (personId === actor.personId) throw new OwnCase();
    requireNotTheWearer(second, personId);
    if (plan.state === 'released') throw new Conflict('This follow-up is released already.');
    const incident = await tx.incidents.findForChange(incidentId);
    const person = await tx.people.find(personId);
    if (incident === null || person === null) throw new NotFound('plan');
    // An amendment may have opened it again after the determination.
    if (plan.basis !== 'determination' || incident.state !== 'determined') throw new NotDetermined();
    const open = await tx.alerts.list({ open: true, personId });
    if (open.some(({ kind }) => ILLNESS_ALERTS.has(kind))) throw new AlertOpen();
    const earlier = requireEndOrSecond(plan, textOf(early), second, tx.now);

    // Before the release, which withdraws whatever is still due.
    const due = plan.plan.checks.find(({ kind }) => kind === 'release');
    const stored = due && (await tx.plans.findCheck(planId, due.key));
    if (stored?.state === 'due') await tx.plans.completeCheck(planId, stored.key, tx.now, null);
    await tx.plans.release(planId, tx.now, { by, early: earlier });
    await tx.incidents.setState(incidentId, 'released');
    await tx.ledger.append(
      ledgerEntry('plan.released', { kind: 'plan', id: planId, personId }, { early: earlier !== null }),
    );
    await refreshDutyStatus(tx, person);
    return { planId, incidentId, releasedAt: tx.now, early: earlier !== null };
  }
}

/** Before the end of the last day a release takes a reason and a second clinician; null from then on. */
function requireEndOrSecond(
  { plan }: PlanRecord,
  reason: string | null,
  second: AccountRecord | null,
  now: Instant,
): ReleaseSignature['early'] {
  if (windowIsOver(plan, now)) return null;
  if (reason === null) throw new WindowOpen(plan.lastDay);
  if (second === null) {
    throw new SecondClinicianNeeded('The window is not over, so a second clinician has to sign the release.');
  }
  return { reason, secondClinician: second.accountId };
}
