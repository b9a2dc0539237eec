import type { Instant } from '#domain';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertOutcome } from '../records/followup.js';
import type { Actor } from '../records/people.js';

export interface CloseAlertCommand {
  readonly alertId: string;
  readonly outcome: AlertOutcome;
  /** What was decided, in the nurse's words. */
  readonly decided: string;
}

/** Only a recorded outcome closes an alert. */
export class CloseAlert {
  constructor(protected readonly work: UnitOfWork) {}

  execute(
    _command: CloseAlertCommand,
    _actor: Actor,
  ): Promise<{ readonly alertId: string; readonly outcome: AlertOutcome; readonly closedAt: Instant }> {
    throw new Error('This use case is not built yet.');
  }
}
