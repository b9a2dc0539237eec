import type { Instant } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import { ALERT_OUTCOMES, type AlertKind, type AlertOutcome } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { Conflict, UnacceptableEntry } from '../refusals.js';
import { alertToAnswer } from './alert-to-answer.js';
import { ILLNESS_ALERTS } from './alerts.js';
import { refreshDutyStatus } from './duty.js';

export interface CloseAlertCommand {
  readonly alertId: string;
  readonly outcome: AlertOutcome;
  /** What was decided, in the nurse's words. */
  readonly decided: string;
}

export interface ClosedAlert {
  readonly alertId: string;
  readonly outcome: AlertOutcome;
  readonly closedAt: Instant;
}

/** Closing these without having reached the person would hide somebody who may be ill or past a time limit. */
const MUST_BE_REACHED: ReadonlySet<AlertKind> = new Set<AlertKind>([
  'fever',
  'symptom',
  'prophylaxis-deadline',
  'call-back',
]);

/** Only a recorded outcome closes an alert. */
export class CloseAlert {
  constructor(private readonly work: UnitOfWork) {}

  async execute({ alertId, outcome, decided }: CloseAlertCommand, actor: Actor): Promise<ClosedAlert> {
    authorise(actor, 'alert.answer');
    if (decided.trim() === '') {
      throw new UnacceptableEntry('An alert closes with what was decided.', {
        pointer: '/decided',
        accepted: 'one sentence: who was spoken to, and what was decided',
      });
    }
    return this.work.run(actor, async (tx) => {
      const { alert, by } = await alertToAnswer(tx, alertId, actor);
      if (alert.closedAt !== null) throw new Conflict('This alert is closed.');
      if (outcome === 'not-reached' && MUST_BE_REACHED.has(alert.kind)) {
        throw new UnacceptableEntry('This alert stays open until somebody has been reached.', {
          pointer: '/outcome',
          accepted: `one of: ${ALERT_OUTCOMES.filter((known) => known !== 'not-reached').join(', ')}; an acknowledgement pauses it`,
        });
      }
      await tx.alerts.close(alertId, by, tx.now, outcome, decided.trim());
      await tx.ledger.append(
        ledgerEntry('alert.closed', { kind: 'alert', id: alertId, personId: alert.personId }, { outcome }),
      );
      // Sent for assessment is still away from work; every other outcome gives back what the plans permit.
      if (ILLNESS_ALERTS.has(alert.kind) && outcome !== 'spoken-to-sent-for-assessment') {
        const person = await tx.people.find(alert.personId);
        if (person) await refreshDutyStatus(tx, person);
      }
      return { alertId, outcome, closedAt: tx.now };
    });
  }
}
