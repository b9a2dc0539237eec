import { addHours, compareInstants, type CheckKind } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertKind, CheckRecord, DueCheck } from '../records/followup.js';
import type { Actor } from '../records/people.js';
import { checkAlertKey, newAlert, raiseAlert } from './alerts.js';

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

const ALERT_KIND: Readonly<Record<CheckKind, AlertKind>> = {
  reading: 'missed-reading',
  contact: 'check-overdue',
  test: 'check-overdue',
  review: 'check-overdue',
  support: 'check-overdue',
  prophylaxis: 'prophylaxis-deadline',
  release: 'release-due',
};

function reasonOf({ kind, label, dueUntil }: CheckRecord): string {
  if (kind === 'reading') return `No reading was entered: ${label}, due until ${dueUntil}.`;
  if (kind === 'release') return `The follow-up window ends: ${label}, due until ${dueUntil}.`;
  return `Nothing is recorded for: ${label}, due until ${dueUntil}.`;
}

/** Turns the due checks of one site into alerts, each once, in one transaction. Acts as the machine, which decides nothing. */
export class RaiseDueAlerts {
  constructor(private readonly work: UnitOfWork) {}

  execute({ siteId, checks }: RaiseDueAlertsCommand): Promise<RaisedAlerts> {
    const machine: Actor = { siteId, role: 'worker', accountId: null, personId: null, unitIds: [] };
    authorise(machine, 'alert.raise-due');
    const foreign = checks.find((check) => check.siteId !== siteId);
    if (foreign) throw new TypeError('One transaction raises the alerts of one site only.');
    return this.work.run(machine, async (tx) => {
      const site = await tx.site.read();
      const graceHours = site.settings.readingGraceMinutes / 60;
      let raised = 0;
      for (const { planId, checkKey } of checks) {
        const plan = await tx.plans.find(planId);
        const check = plan?.state === 'running' ? await tx.plans.findCheck(planId, checkKey) : null;
        if (!plan || check?.state !== 'due') continue;
        // When the others are looked at is the due index's to say: some of them before they are due.
        if (check.kind === 'reading' && compareInstants(tx.now, addHours(check.dueUntil, graceHours)) < 0) continue;
        const alert = newAlert(
          {
            alertKey: checkAlertKey(planId, checkKey),
            kind: ALERT_KIND[check.kind],
            personId: plan.personId,
            incidentId: plan.incidentId,
            planId,
            checkKey,
            reasons: [reasonOf(check)],
          },
          tx.now,
        );
        if (!(await raiseAlert(tx, alert, site))) continue;
        await tx.ledger.append(
          ledgerEntry(
            'alert.raised',
            { kind: 'alert', id: alert.alertId, personId: plan.personId },
            { kind: alert.kind },
          ),
        );
        raised += 1;
      }
      if (raised > 0) await tx.wake('send-notices');
      return { raised, skipped: checks.length - raised };
    });
  }
}
