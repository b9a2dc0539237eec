import type { FollowUpPlan, Instant } from '#domain';
import type { AlertRecord } from '../records/followup.js';
import { checkAlertKey, newAlert } from './alerts.js';

/**
 * A time limit for prophylaxis is put to a prescriber when it begins to run, not when it is over: one alert a limit, with
 * the key that the sweeper would use, so that it is raised once.
 */
export function prophylaxisAlerts(
  plan: FollowUpPlan,
  about: { readonly planId: string; readonly personId: string; readonly incidentId: string },
  now: Instant,
): readonly AlertRecord[] {
  return plan.checks
    .filter(({ kind }) => kind === 'prophylaxis')
    .map(({ key, label, dueUntil }) =>
      newAlert(
        {
          ...about,
          alertKey: checkAlertKey(about.planId, key),
          kind: 'prophylaxis-deadline',
          checkKey: key,
          reasons: [`${label}. The time limit ends at ${dueUntil}.`],
        },
        now,
      ),
    );
}
