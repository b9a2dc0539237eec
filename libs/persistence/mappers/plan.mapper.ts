import type { FollowUpPlan, PlannedCheck } from '#domain';
import type { AlertRecord, CheckRecord, PlanRecord, ReadingRecord } from '#application';
import type { CheckEvidence, PlanCheckEntity, PlanEntity } from '../entities/plan.entity.js';
import type { ReadingEntity } from '../entities/reading.entity.js';
import { offsetOf, withOffset } from './offset.js';

/** The list of what checks rest on, each once; it only grows, so that a check's place in it stays true. */
export class EvidenceList {
  readonly entries: CheckEvidence[];
  readonly #places = new Map<string, number>();

  constructor(present: readonly CheckEvidence[] = []) {
    this.entries = [...present];
    this.entries.forEach((entry, place) => this.#places.set(keyOf(entry), place));
  }

  placeOf({ profile, label, source, grade }: PlannedCheck): number {
    const entry = { profile, label, source, grade };
    const key = keyOf(entry);
    const known = this.#places.get(key);
    if (known !== undefined) return known;
    const place = this.entries.push(entry) - 1;
    this.#places.set(key, place);
    return place;
  }
}

// The same fields in the same order, whatever order the database gave them back in.
const keyOf = ({ profile, label, source, grade }: CheckEvidence): string =>
  JSON.stringify([
    profile,
    label,
    source.body,
    source.title,
    source.year,
    source.section ?? null,
    source.address ?? null,
    grade,
  ]);

export function planToEntity(siteId: string, record: PlanRecord, evidence: EvidenceList): PlanEntity {
  const { checks: _rows, dayZero, lastDay, ...content } = record.plan;
  return {
    siteId,
    planId: record.planId,
    personId: record.personId,
    incidentId: record.incidentId,
    revision: record.revision,
    basis: record.basis,
    determinationId: record.determinationId,
    state: record.state,
    releasedAt: record.releasedAt,
    dayZero,
    lastDay,
    content,
    evidence: evidence.entries,
  };
}

/** When the sweeper looks at a check: when it was due, for a reading after the site's grace. */
export function lookAtOf({ kind, dueUntil }: Pick<PlannedCheck, 'kind' | 'dueUntil'>, graceMinutes: number): string {
  const grace = kind === 'reading' ? graceMinutes * 60_000 : 0;
  return new Date(Date.parse(dueUntil) + grace).toISOString();
}

export interface CheckContext {
  readonly siteId: string;
  readonly plan: Pick<PlanRecord, 'planId' | 'personId'>;
  readonly evidence: EvidenceList;
  readonly graceMinutes: number;
  /** Alerts of the same statement: a check that one of them is about needs no second one. */
  readonly alerts?: readonly AlertRecord[];
}

export function checksToEntities(
  checks: readonly PlannedCheck[],
  { siteId, plan, evidence, graceMinutes, alerts = [] }: CheckContext,
): PlanCheckEntity[] {
  return checks.map((check, position) => ({
    siteId,
    planId: plan.planId,
    checkKey: check.key,
    personId: plan.personId,
    kind: check.kind,
    localDate: check.localDate,
    slot: check.slot,
    ordinal: check.ordinal,
    dueFrom: check.dueFrom,
    dueFromOffset: offsetOf(check.dueFrom),
    dueUntil: check.dueUntil,
    dueUntilOffset: offsetOf(check.dueUntil),
    evidence: evidence.placeOf(check),
    position,
    lookAt: lookAtOf(check, graceMinutes),
    alertedAt: alerts.find((alert) => alert.planId === plan.planId && alert.checkKey === check.key)?.raisedAt ?? null,
    state: 'due',
    doneAt: null,
    readingId: null,
  }));
}

function plannedCheckOf(entity: PlanCheckEntity, evidence: readonly CheckEvidence[]): PlannedCheck {
  const rests = evidence[entity.evidence];
  if (rests === undefined) throw new Error('A check names evidence that its plan does not hold.');
  return {
    key: entity.checkKey,
    kind: entity.kind,
    profile: rests.profile,
    localDate: entity.localDate,
    slot: entity.slot,
    ordinal: entity.ordinal,
    dueFrom: withOffset(entity.dueFrom, entity.dueFromOffset),
    dueUntil: withOffset(entity.dueUntil, entity.dueUntilOffset),
    label: rests.label,
    source: rests.source,
    grade: rests.grade,
  };
}

export function checkToRecord(entity: PlanCheckEntity, evidence: readonly CheckEvidence[]): CheckRecord {
  const { planId, state, doneAt, readingId } = entity;
  return { ...plannedCheckOf(entity, evidence), planId, state, doneAt, readingId };
}

/** The plan as it stands: what was withdrawn is not in it, what is done still is. */
export function planToRecord(entity: PlanEntity, checks: readonly PlanCheckEntity[]): PlanRecord {
  const { content, dayZero, lastDay } = entity;
  const plan: FollowUpPlan = {
    ...content,
    dayZero,
    lastDay,
    checks: checks
      .filter(({ state }) => state !== 'withdrawn')
      .sort((a, b) => a.position - b.position)
      .map((check) => plannedCheckOf(check, entity.evidence)),
  };
  return {
    planId: entity.planId,
    personId: entity.personId,
    incidentId: entity.incidentId,
    revision: entity.revision,
    basis: entity.basis,
    determinationId: entity.determinationId,
    state: entity.state,
    plan,
    releasedAt: entity.releasedAt,
  };
}

export function readingToEntity(siteId: string, { at, ...record }: ReadingRecord): ReadingEntity {
  return { siteId, ...record, symptoms: [...record.symptoms], takenAt: at };
}

export function readingToRecord(entity: ReadingEntity): ReadingRecord {
  return {
    readingId: entity.readingId,
    planId: entity.planId,
    personId: entity.personId,
    checkKey: entity.checkKey,
    at: entity.takenAt,
    value: entity.value,
    unit: entity.unit,
    measurementSite: entity.measurementSite,
    antipyreticTaken: entity.antipyreticTaken,
    feltFever: entity.feltFever,
    symptoms: entity.symptoms,
    enteredBy: entity.enteredBy,
    enteredAt: entity.enteredAt,
    confirmedImplausible: entity.confirmedImplausible,
    judgement: entity.judgement,
  };
}
