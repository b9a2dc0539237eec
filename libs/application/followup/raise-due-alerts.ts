import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { DueCheck } from '../records/followup.js';

export interface RaiseDueAlertsCommand {
  readonly siteId: string;
  /** Checks of this one site. */
  readonly checks: readonly DueCheck[];
}

export interface RaisedAlerts {
  readonly raised: number;
  /** Done, withdrawn, raised before, or still within the site's grace. */
  readonly skipped: number;
}

/** Turns the due checks of one site into alerts, each once, in one transaction. Acts as the machine. */
export class RaiseDueAlerts {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: RaiseDueAlertsCommand): Promise<RaisedAlerts> {
    throw new Error('This use case is not built yet.');
  }
}
