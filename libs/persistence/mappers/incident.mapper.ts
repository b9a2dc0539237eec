import { localDateOf, type Assessment } from '#domain';
import type {
  AssessmentRecord,
  DeterminationRecord,
  IncidentContent,
  IncidentRecord,
  TellingRecord,
} from '#application';
import type { AssessmentEntity, DeterminationEntity } from '../entities/assessment.entity.js';
import type { IncidentBreachEntity, IncidentEntity, IncidentLapseEntity } from '../entities/incident.entity.js';
import type { TellingEntity } from '../entities/telling.entity.js';

/** 1 is looked at first; what no authority classified stands between level 3 and level 2. */
export function urgencyOf({ level }: Pick<Assessment, 'level'>): number {
  return level === null ? 2 : ([5, 4, 3, 1][level] ?? 2);
}

/** The columns that follow from the content, and are counted and searched by. */
export function contentColumns(
  content: IncidentContent,
): Pick<IncidentEntity, 'kind' | 'stage' | 'step' | 'occurredOn' | 'content'> {
  return {
    kind: content.kind,
    stage: content.stage,
    step: content.step,
    occurredOn: localDateOf(content.occurred.from, content.occurred.timeZone),
    content,
  };
}

export function incidentToEntity(
  siteId: string,
  { content, ...record }: IncidentRecord,
  assessment: Pick<Assessment, 'level'>,
): IncidentEntity {
  return { siteId, ...record, ...contentColumns(content), urgency: urgencyOf(assessment) };
}

export function incidentToRecord(entity: IncidentEntity): IncidentRecord {
  return {
    incidentId: entity.incidentId,
    eventId: entity.eventId,
    reportId: entity.reportId,
    personId: entity.personId,
    unitId: entity.unitId,
    ensembleId: entity.ensembleId,
    ensembleVersion: entity.ensembleVersion,
    state: entity.state,
    revision: entity.revision,
    sourceId: entity.sourceId,
    reportedAt: entity.reportedAt,
    reportedByAccount: entity.reportedByAccount,
    identityConfirmedAt: entity.identityConfirmedAt,
    content: entity.content,
  };
}

export function breachesOf(siteId: string, incidentId: string, content: IncidentContent): IncidentBreachEntity[] {
  return content.breaches.map((breach, ordinal) => ({ siteId, incidentId, ordinal, ...breach }));
}

export function lapsesOf(siteId: string, incidentId: string, content: IncidentContent): IncidentLapseEntity[] {
  return [...new Set(content.lapses)].map((lapse) => ({ siteId, incidentId, lapse }));
}

export function tellingToEntity(siteId: string, personId: string, record: TellingRecord): TellingEntity {
  const { incidentId, revision, kind, content, byAccount, at } = record;
  return { siteId, incidentId, revision, personId, kind, content, byAccount, toldAt: at };
}

/** The sealed part of a telling. */
export interface TellingText {
  readonly account: string | null;
  readonly buddy: string | null;
}

export function tellingToRecord(entity: TellingEntity, text: TellingText | null): TellingRecord {
  const { incidentId, revision, kind, content, byAccount, toldAt } = entity;
  return {
    incidentId,
    revision,
    kind,
    content,
    account: text?.account ?? null,
    buddy: text?.buddy ?? null,
    byAccount,
    at: toldAt,
  };
}

export function assessmentToEntity(siteId: string, personId: string, record: AssessmentRecord): AssessmentEntity {
  return { siteId, personId, ...record, tableHash: record.result.hash };
}

export function assessmentToRecord(entity: AssessmentEntity): AssessmentRecord {
  return {
    assessmentId: entity.assessmentId,
    incidentId: entity.incidentId,
    revision: entity.revision,
    factsVersion: entity.factsVersion,
    facts: entity.facts,
    result: entity.result,
    barrier: entity.barrier,
    profile: entity.profile,
    governing: entity.governing,
    madeAt: entity.madeAt,
  };
}

export function determinationToEntity(
  siteId: string,
  personId: string,
  { reason: _r, signedByName: _s, secondClinicianName: _c, at, ...record }: DeterminationRecord,
): DeterminationEntity {
  return { siteId, personId, ...record, signedAt: at };
}

/** The sealed part of a determination. */
export type DeterminationText = Pick<DeterminationRecord, 'reason' | 'signedByName' | 'secondClinicianName'>;

export function determinationToRecord(
  entity: DeterminationEntity,
  text: DeterminationText | null,
): DeterminationRecord {
  return {
    determinationId: entity.determinationId,
    incidentId: entity.incidentId,
    onRevision: entity.onRevision,
    assessmentId: entity.assessmentId,
    categoryId: entity.categoryId,
    category: entity.category,
    departs: entity.departs,
    reason: text?.reason ?? null,
    signedBy: entity.signedBy,
    signedByName: text?.signedByName ?? null,
    secondClinician: entity.secondClinician,
    secondClinicianName: text?.secondClinicianName ?? null,
    at: entity.signedAt,
  };
}
