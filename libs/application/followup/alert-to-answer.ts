import type { Transaction } from '../ports/unit-of-work.js';
import type { AlertRecord } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { Forbidden, NotFound, OwnCase } from '../refusals.js';

/** Locks the alert for an answer by somebody whom it is not about. */
export async function alertToAnswer(
  tx: Transaction,
  alertId: string,
  actor: Actor,
): Promise<{ readonly alert: AlertRecord; readonly by: string }> {
  const alert = await tx.alerts.findForChange(alertId);
  if (alert === null) throw new NotFound('alert');
  if (alert.personId === actor.personId) throw new OwnCase();
  if (actor.accountId === null) throw new Forbidden();
  return { alert, by: actor.accountId };
}
