import { v7 } from 'uuid';
import type { FollowUpPlan } from '#domain';
import type { PlanRecord } from '../records/followup.js';
import type { IncidentRecord } from '../records/incident.js';

/** The first plan of an incident, which follows the interim category. */
export function newPlan(
  { incidentId, personId, revision }: Pick<IncidentRecord, 'incidentId' | 'personId' | 'revision'>,
  plan: FollowUpPlan,
): PlanRecord {
  return {
    planId: v7(),
    personId,
    incidentId,
    revision,
    basis: 'interim',
    determinationId: null,
    state: 'running',
    plan,
    releasedAt: null,
  };
}
