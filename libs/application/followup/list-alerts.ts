import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import type { WearerView } from '../reporting/incident-view.js';

export interface ListAlertsCommand {
  readonly open?: boolean;
  readonly incidentId?: string;
}

export interface ListedAlert extends AlertRecord {
  readonly wearer: WearerView;
}

/** Alerts with whom to telephone, the most urgent kind first, then the oldest. */
export class ListAlerts {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: ListAlertsCommand, _actor: Actor): Promise<readonly ListedAlert[]> {
    throw new Error('This use case is not built yet.');
  }
}
