import { v7 } from 'uuid';
import type { Instant } from '#domain';
import type { Rulebook } from '../ports/rulebook.js';
import type { AssessmentRecord, IncidentRecord } from '../records/incident.js';
import type { AssessedReport } from './assess-report.js';

export function assessmentRecord(
  rulebook: Rulebook,
  { incidentId, revision }: Pick<IncidentRecord, 'incidentId' | 'revision'>,
  { facts, result, barrier, profile, governing }: AssessedReport,
  now: Instant,
): AssessmentRecord {
  return {
    assessmentId: v7(),
    incidentId,
    revision,
    factsVersion: rulebook.vocabulary.version,
    facts,
    result,
    barrier,
    profile: profile.id,
    governing: governing.why,
    madeAt: now,
  };
}
