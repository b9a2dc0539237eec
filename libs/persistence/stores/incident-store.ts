import { readFileSync } from 'node:fs';
import { In, type FindOptionsWhere } from 'typeorm';
import type { Instant } from '#domain';
import type {
  AcceptedReport,
  AssessmentRecord,
  DeterminationRecord,
  IncidentFilter,
  IncidentRecord,
  IncidentStanding,
  IncidentState,
  IncidentStore,
  TellingRecord,
} from '#application';
import { AssessmentEntity, DeterminationEntity, DeterminationTextEntity } from '../entities/assessment.entity.js';
import {
  IncidentBreachEntity,
  IncidentEntity,
  IncidentLapseEntity,
  ReportReceiptEntity,
} from '../entities/incident.entity.js';
import { TellingEntity, TellingTextEntity } from '../entities/telling.entity.js';
import { translateFailure } from '../failures.js';
import {
  assessmentToEntity,
  assessmentToRecord,
  breachesOf,
  contentColumns,
  determinationToEntity,
  determinationToRecord,
  incidentToRecord,
  lapsesOf,
  tellingToEntity,
  tellingToRecord,
  urgencyOf,
  type DeterminationText,
  type TellingText,
} from '../mappers/incident.mapper.js';
import type { RowOf } from '../mappers/rows.js';
import { determinationPlace, tellingPlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';
import { acceptDocument, acceptedRows, textOf } from './accept-document.js';
import { readCursor, writeCursor } from './cursor.js';

const ACCEPT = readFileSync(new URL('../accept-report.sql', import.meta.url), 'utf8');

export class PostgresIncidentStore implements IncidentStore {
  constructor(
    private readonly scope: Scope,
    private readonly row: RowOf,
  ) {}

  async findByReportId(reportId: string): Promise<IncidentRecord | null> {
    const receipt = await this.scope.repository(ReportReceiptEntity).findOneBy({ siteId: this.scope.siteId, reportId });
    return receipt === null ? null : this.find(receipt.incidentId);
  }

  async accept(report: AcceptedReport): Promise<void> {
    const { siteId } = this.scope;
    const { personId, incidentId } = report.incident;
    const key = textOf(report.telling) === null ? null : await this.scope.personKey(personId);
    const document = acceptDocument(siteId, acceptedRows(siteId, report, key), this.row);
    try {
      await this.scope.prepared('innerglove-accept-report', ACCEPT, [JSON.stringify(document)]);
    } catch (error) {
      throw translateFailure(error);
    }
    this.scope.learnPerson(incidentId, personId);
  }

  async find(incidentId: string): Promise<IncidentRecord | null> {
    return this.#read(await this.scope.repository(IncidentEntity).findOneBy({ siteId: this.scope.siteId, incidentId }));
  }

  async findForChange(incidentId: string): Promise<IncidentRecord | null> {
    const entity = await this.scope.repository(IncidentEntity).findOne({
      where: { siteId: this.scope.siteId, incidentId },
      lock: { mode: 'pessimistic_write' },
    });
    return this.#read(entity);
  }

  #read(entity: IncidentEntity | null): IncidentRecord | null {
    if (entity === null) return null;
    this.scope.learnPerson(entity.incidentId, entity.personId);
    return incidentToRecord(entity);
  }

  async list(filter: IncidentFilter): Promise<{ items: IncidentRecord[]; nextCursor: string | null }> {
    const { state, personId, eventId, sourceId, cursor, limit } = filter;
    const where: FindOptionsWhere<IncidentEntity> = { siteId: this.scope.siteId };
    if (state !== undefined) where.state = state;
    if (personId !== undefined) where.personId = personId;
    if (eventId !== undefined) where.eventId = eventId;
    if (sourceId !== undefined) where.sourceId = sourceId;
    const query = this.scope
      .repository(IncidentEntity)
      .createQueryBuilder('incident')
      .where(where)
      .orderBy('incident.urgency')
      .addOrderBy('incident.reported_at')
      .addOrderBy('incident.incident_id')
      // One more than asked for tells whether there is a next page.
      .limit(limit + 1);
    if (cursor !== undefined) {
      query.andWhere(
        '(incident.urgency, incident.reported_at, incident.incident_id) > (:urgency::smallint, :reportedAt::timestamptz, :incidentId::uuid)',
        readCursor(cursor),
      );
    }
    const found = await query.getMany();
    const page = found.slice(0, limit);
    const last = found.length > limit ? page.at(-1) : undefined;
    for (const { incidentId, personId: whose } of page) this.scope.learnPerson(incidentId, whose);
    return { items: page.map(incidentToRecord), nextCursor: last ? writeCursor(last) : null };
  }

  async standings(incidentIds: readonly string[]): Promise<Map<string, IncidentStanding>> {
    if (incidentIds.length === 0) return new Map();
    const { siteId } = this.scope;
    const assessments = await this.scope
      .repository(AssessmentEntity)
      .createQueryBuilder('assessment')
      .distinctOn(['assessment.incident_id'])
      .where({ siteId, incidentId: In([...incidentIds]) })
      .orderBy('assessment.incident_id')
      .addOrderBy('assessment.revision', 'DESC')
      .addOrderBy('assessment.made_at', 'DESC')
      .getMany();
    const newest = await this.scope
      .repository(DeterminationEntity)
      .createQueryBuilder('determination')
      .distinctOn(['determination.incident_id'])
      .where({ siteId, incidentId: In([...incidentIds]) })
      .orderBy('determination.incident_id')
      .addOrderBy('determination.signed_at', 'DESC')
      .addOrderBy('determination.on_revision', 'DESC')
      .getMany();
    const determinations = new Map(
      (await this.#withTexts(newest)).map((determination) => [determination.incidentId, determination]),
    );
    return new Map(
      assessments.map((entity) => [
        entity.incidentId,
        { assessment: assessmentToRecord(entity), determination: determinations.get(entity.incidentId) ?? null },
      ]),
    );
  }

  async tellings(incidentId: string): Promise<TellingRecord[]> {
    const where = { siteId: this.scope.siteId, incidentId };
    const tellings = await this.scope.repository(TellingEntity).find({ where, order: { revision: 'ASC' } });
    const sealed = await this.scope.repository(TellingTextEntity).findBy(where);
    const texts = new Map<number, TellingText>();
    for (const entity of sealed) {
      const key = await this.scope.findPersonKey(entity.personId);
      if (key === null) continue;
      const place = tellingPlace(entity.siteId, incidentId, entity.revision);
      texts.set(entity.revision, key.openJson(entity.sealed, place) as TellingText);
    }
    return tellings.map((entity) => tellingToRecord(entity, texts.get(entity.revision) ?? null));
  }

  async appendTelling(incident: IncidentRecord, telling: TellingRecord): Promise<void> {
    const { siteId } = this.scope;
    const { incidentId, personId, revision, sourceId, state, content } = incident;
    await this.scope
      .repository(IncidentEntity)
      .update({ siteId, incidentId }, { revision, sourceId, state, ...contentColumns(content) });
    await this.scope.insert(TellingEntity, tellingToEntity(siteId, personId, telling));
    const text = textOf(telling);
    if (text !== null) {
      const key = await this.scope.personKey(personId);
      await this.scope.insert(TellingTextEntity, {
        siteId,
        incidentId,
        revision: telling.revision,
        personId,
        sealed: key.sealJson(text, tellingPlace(siteId, incidentId, telling.revision)),
      });
    }
    // Counted as the incident stands now; what was told before stays in the tellings.
    await this.scope.repository(IncidentBreachEntity).delete({ siteId, incidentId });
    await this.scope.repository(IncidentLapseEntity).delete({ siteId, incidentId });
    await this.scope.insert(IncidentBreachEntity, breachesOf(siteId, incidentId, content));
    await this.scope.insert(IncidentLapseEntity, lapsesOf(siteId, incidentId, content));
  }

  async assessments(incidentId: string): Promise<AssessmentRecord[]> {
    const found = await this.scope.repository(AssessmentEntity).find({
      where: { siteId: this.scope.siteId, incidentId },
      order: { revision: 'ASC', madeAt: 'ASC' },
    });
    return found.map(assessmentToRecord);
  }

  async appendAssessment(assessment: AssessmentRecord): Promise<void> {
    const { siteId } = this.scope;
    const { incidentId } = assessment;
    const personId = await this.scope.personOf(incidentId);
    await this.scope.insert(AssessmentEntity, assessmentToEntity(siteId, personId, assessment));
    await this.scope
      .repository(IncidentEntity)
      .update({ siteId, incidentId }, { urgency: urgencyOf(assessment.result) });
  }

  async determinations(incidentId: string): Promise<DeterminationRecord[]> {
    const found = await this.scope.repository(DeterminationEntity).find({
      where: { siteId: this.scope.siteId, incidentId },
      order: { signedAt: 'ASC', onRevision: 'ASC' },
    });
    return this.#withTexts(found);
  }

  async #withTexts(entities: readonly DeterminationEntity[]): Promise<DeterminationRecord[]> {
    if (entities.length === 0) return [];
    const { siteId } = this.scope;
    const sealed = await this.scope
      .repository(DeterminationTextEntity)
      .findBy({ siteId, determinationId: In(entities.map(({ determinationId }) => determinationId)) });
    const texts = new Map<string, DeterminationText>();
    for (const { determinationId, personId, sealed: envelope } of sealed) {
      const key = await this.scope.findPersonKey(personId);
      if (key === null) continue;
      texts.set(
        determinationId,
        key.openJson(envelope, determinationPlace(siteId, determinationId)) as DeterminationText,
      );
    }
    return entities.map((entity) => determinationToRecord(entity, texts.get(entity.determinationId) ?? null));
  }

  async appendDetermination(incident: IncidentRecord, determination: DeterminationRecord): Promise<void> {
    const { siteId } = this.scope;
    const { incidentId, personId, revision, state } = incident;
    const { determinationId, reason, signedByName, secondClinicianName } = determination;
    await this.scope.insert(DeterminationEntity, determinationToEntity(siteId, personId, determination));
    const text: DeterminationText = { reason, signedByName, secondClinicianName };
    const key = await this.scope.personKey(personId);
    await this.scope.insert(DeterminationTextEntity, {
      siteId,
      determinationId,
      personId,
      sealed: key.sealJson(text, determinationPlace(siteId, determinationId)),
    });
    await this.scope.repository(IncidentEntity).update({ siteId, incidentId }, { revision, state });
  }

  async confirmIdentity(incidentId: string, at: Instant): Promise<void> {
    const { siteId } = this.scope;
    await this.scope.repository(IncidentEntity).update({ siteId, incidentId }, { identityConfirmedAt: at });
  }

  async setState(incidentId: string, state: IncidentState): Promise<void> {
    const { siteId } = this.scope;
    await this.scope.repository(IncidentEntity).update({ siteId, incidentId }, { state });
  }
}
