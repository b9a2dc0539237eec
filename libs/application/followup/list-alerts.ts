import { compareInstants } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { viewWearer, type WearerView } from '../reporting/incident-view.js';
import { ALERT_URGENCY } from './alerts.js';

export interface ListAlertsCommand {
  readonly open?: boolean;
  readonly incidentId?: string;
}

export interface ListedAlert extends AlertRecord {
  readonly wearer: WearerView;
}

function mostUrgentFirst(a: AlertRecord, b: AlertRecord): number {
  return ALERT_URGENCY.indexOf(a.kind) - ALERT_URGENCY.indexOf(b.kind) || compareInstants(a.raisedAt, b.raisedAt);
}

/** Alerts with whom to telephone, the most urgent kind first, then the oldest. */
export class ListAlerts {
  constructor(private readonly work: UnitOfWork) {}

  execute({ open, incidentId }: ListAlertsCommand, actor: Actor): Promise<readonly ListedAlert[]> {
    authorise(actor, 'alert.read');
    return this.work.run(actor, async (tx) => {
      const alerts = await tx.alerts.list({
        ...(open === undefined ? {} : { open }),
        ...(incidentId === undefined ? {} : { incidentId }),
      });
      const personIds = [...new Set(alerts.map(({ personId }) => personId))];
      const people = await tx.people.findAll(personIds);
      const identities = await tx.people.identities(personIds);
      await tx.ledger.appendAll(
        personIds.map((personId) => ledgerEntry('alerts.read', { kind: 'person', id: personId, personId })),
      );
      return [...alerts].sort(mostUrgentFirst).flatMap((alert) => {
        const person = people.get(alert.personId);
        return person ? [{ ...alert, wearer: viewWearer(person, identities.get(alert.personId) ?? null) }] : [];
      });
    });
  }
}
