import { addHours, type Instant } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { Conflict } from '../refusals.js';
import { alertToAnswer } from './alert-to-answer.js';

export interface AcknowledgeAlertCommand {
  readonly alertId: string;
}

export interface AcknowledgedAlert {
  readonly alertId: string;
  readonly pausedUntil: Instant;
}

/** Says who took an alert. It pauses for the time that the site has set, and does not close. */
export class AcknowledgeAlert {
  constructor(private readonly work: UnitOfWork) {}

  execute({ alertId }: AcknowledgeAlertCommand, actor: Actor): Promise<AcknowledgedAlert> {
    authorise(actor, 'alert.answer');
    return this.work.run(actor, async (tx) => {
      const { alert, by } = await alertToAnswer(tx, alertId, actor);
      if (alert.closedAt !== null) throw new Conflict('This alert is closed.');
      const { settings } = await tx.site.read();
      const pausedUntil = addHours(tx.now, settings.acknowledgementPauseMinutes / 60);
      await tx.alerts.acknowledge(alertId, by, tx.now, pausedUntil);
      await tx.ledger.append(
        ledgerEntry('alert.acknowledged', { kind: 'alert', id: alertId, personId: alert.personId }),
      );
      return { alertId, pausedUntil };
    });
  }
}
