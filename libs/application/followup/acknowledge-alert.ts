import type { Instant } from '#domain';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

export interface AcknowledgeAlertCommand {
  readonly alertId: string;
}

/** Says who took an alert. It pauses for the time that the site has set, and does not close. */
export class AcknowledgeAlert {
  constructor(protected readonly work: UnitOfWork) {}

  execute(
    _command: AcknowledgeAlertCommand,
    _actor: Actor,
  ): Promise<{ readonly alertId: string; readonly pausedUntil: Instant }> {
    throw new Error('This use case is not built yet.');
  }
}
