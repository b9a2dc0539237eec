import { In, Not } from 'typeorm';
import type { Instant } from '#domain';
import type { CheckRecord, PlanRecord, PlanStore, ReadingRecord, ReleaseSignature } from '#application';
import { PlanCheckEntity, PlanEntity, PlanReleaseEntity, type CheckEvidence } from '../entities/plan.entity.js';
import { ReadingEntity } from '../entities/reading.entity.js';
import { SiteEntity } from '../entities/site.entity.js';
import {
  checksToEntities,
  checkToRecord,
  EvidenceList,
  planToEntity,
  planToRecord,
  readingToEntity,
  readingToRecord,
} from '../mappers/plan.mapper.js';
import { releasePlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';

export class PostgresPlanStore implements PlanStore {
  constructor(private readonly scope: Scope) {}

  async find(planId: string): Promise<PlanRecord | null> {
    return this.#one(await this.scope.repository(PlanEntity).findOneBy({ siteId: this.scope.siteId, planId }));
  }

  async findForChange(planId: string): Promise<PlanRecord | null> {
    const entity = await this.scope.repository(PlanEntity).findOne({
      where: { siteId: this.scope.siteId, planId },
      lock: { mode: 'pessimistic_write' },
    });
    return this.#one(entity);
  }

  async listByPerson(personId: string): Promise<PlanRecord[]> {
    const { siteId } = this.scope;
    return this.#all(
      await this.scope
        .repository(PlanEntity)
        .find({ where: { siteId, personId }, order: { dayZero: 'ASC', planId: 'ASC' } }),
    );
  }

  async findByIncident(incidentId: string): Promise<PlanRecord | null> {
    return this.#one(await this.scope.repository(PlanEntity).findOneBy({ siteId: this.scope.siteId, incidentId }));
  }

  async running(): Promise<PlanRecord[]> {
    const { siteId } = this.scope;
    return this.#all(
      await this.scope.repository(PlanEntity).find({ where: { siteId, state: 'running' }, order: { planId: 'ASC' } }),
    );
  }

  async #one(entity: PlanEntity | null): Promise<PlanRecord | null> {
    if (entity === null) return null;
    const [record] = await this.#all([entity]);
    return record ?? null;
  }

  async #all(plans: readonly PlanEntity[]): Promise<PlanRecord[]> {
    const checks = await this.#checkRows(
      plans.map(({ planId }) => planId),
      { standing: true },
    );
    return plans.map((plan) => planToRecord(plan, checks.get(plan.planId) ?? []));
  }

  /** By plan, in the order in which they fall due. */
  async #checkRows(
    planIds: readonly string[],
    { standing }: { readonly standing: boolean },
  ): Promise<Map<string, PlanCheckEntity[]>> {
    const byPlan = new Map<string, PlanCheckEntity[]>();
    if (planIds.length === 0) return byPlan;
    const found = await this.scope.repository(PlanCheckEntity).find({
      where: {
        siteId: this.scope.siteId,
        planId: In([...planIds]),
        ...(standing ? { state: Not('withdrawn' as const) } : {}),
      },
      order: { dueFrom: 'ASC', position: 'ASC', checkKey: 'ASC' },
    });
    for (const check of found) {
      const rows = byPlan.get(check.planId);
      if (rows) rows.push(check);
      else byPlan.set(check.planId, [check]);
    }
    return byPlan;
  }

  async checks(planId: string): Promise<CheckRecord[]> {
    return (await this.checksOf([planId])).get(planId) ?? [];
  }

  async checksOf(planIds: readonly string[]): Promise<Map<string, CheckRecord[]>> {
    if (planIds.length === 0) return new Map();
    const rows = await this.#checkRows(planIds, { standing: false });
    const evidence = await this.#evidenceOf(planIds);
    return new Map(
      [...rows].map(([planId, checks]) => [
        planId,
        checks.map((check) => checkToRecord(check, evidence.get(planId) ?? [])),
      ]),
    );
  }

  async #evidenceOf(planIds: readonly string[]): Promise<Map<string, CheckEvidence[]>> {
    const found = await this.scope.repository(PlanEntity).find({
      select: { siteId: true, planId: true, evidence: true },
      where: { siteId: this.scope.siteId, planId: In([...planIds]) },
    });
    return new Map(found.map(({ planId, evidence }) => [planId, evidence]));
  }

  async insert(plan: PlanRecord): Promise<void> {
    const { siteId } = this.scope;
    const evidence = new EvidenceList();
    const graceMinutes = await this.#graceMinutes();
    const checks = checksToEntities(plan.plan.checks, { siteId, plan, evidence, graceMinutes });
    await this.scope.insert(PlanEntity, planToEntity(siteId, plan, evidence));
    await this.scope.insert(PlanCheckEntity, checks);
  }

  async replace(plan: PlanRecord): Promise<void> {
    const { siteId } = this.scope;
    const { planId } = plan;
    const evidence = new EvidenceList((await this.#evidenceOf([planId])).get(planId));
    const graceMinutes = await this.#graceMinutes();
    const checks = checksToEntities(plan.plan.checks, { siteId, plan, evidence, graceMinutes });
    const {
      siteId: _site,
      planId: _plan,
      personId: _person,
      incidentId: _incident,
      ...columns
    } = planToEntity(siteId, plan, evidence);
    await this.scope.repository(PlanEntity).update({ siteId, planId }, columns as object);
    await this.scope.change(
      `update plan_check set state = 'withdrawn'
       where site_id = $1 and plan_id = $2 and state = 'due' and check_key <> all ($3)`,
      [siteId, planId, checks.map(({ checkKey }) => checkKey)],
    );
    if (checks.length === 0) return;
    await this.scope.manager
      .createQueryBuilder()
      .insert()
      .into(PlanCheckEntity)
      .values(checks)
      .orUpdate(MOVED, ['site_id', 'plan_id', 'check_key'], {
        // What is done stays as it was done.
        overwriteCondition: { where: `"plan_check"."state" <> 'done'` },
      })
      .updateEntity(false)
      .execute();
  }

  async release(planId: string, at: Instant, { by, early }: ReleaseSignature): Promise<void> {
    const { siteId } = this.scope;
    const { personId } = await this.scope.repository(PlanEntity).findOneByOrFail({ siteId, planId });
    await this.scope.repository(PlanEntity).update({ siteId, planId }, { state: 'released', releasedAt: at });
    // Nothing of a released plan falls due any more.
    await this.scope.repository(PlanCheckEntity).update({ siteId, planId, state: 'due' }, { state: 'withdrawn' });
    const sealed =
      early === null
        ? null
        : (await this.scope.personKey(personId)).sealJson(early.reason, releasePlace(siteId, planId, at));
    await this.scope.insert(PlanReleaseEntity, {
      siteId,
      planId,
      releasedAt: at,
      personId,
      releasedBy: by,
      secondClinician: early?.secondClinician ?? null,
      sealed,
    });
  }

  async readings(planId: string): Promise<ReadingRecord[]> {
    const found = await this.scope.repository(ReadingEntity).find({
      where: { siteId: this.scope.siteId, planId },
      order: { takenAt: 'ASC', enteredAt: 'ASC', readingId: 'ASC' },
    });
    return found.map(readingToRecord);
  }

  async insertReading(reading: ReadingRecord): Promise<void> {
    await this.scope.insert(ReadingEntity, readingToEntity(this.scope.siteId, reading));
  }

  async completeCheck(planId: string, checkKey: string, at: Instant, readingId: string | null): Promise<void> {
    await this.scope
      .repository(PlanCheckEntity)
      .update(
        { siteId: this.scope.siteId, planId, checkKey, state: Not('done' as const) },
        { state: 'done', doneAt: at, readingId },
      );
  }

  async findCheck(planId: string, checkKey: string): Promise<CheckRecord | null> {
    const entity = await this.scope
      .repository(PlanCheckEntity)
      .findOneBy({ siteId: this.scope.siteId, planId, checkKey });
    if (entity === null) return null;
    return checkToRecord(entity, (await this.#evidenceOf([planId])).get(planId) ?? []);
  }

  async #graceMinutes(): Promise<number> {
    const { settings } = await this.scope.repository(SiteEntity).findOneByOrFail({ siteId: this.scope.siteId });
    return settings.readingGraceMinutes;
  }
}

const MOVED = [
  'kind',
  'local_date',
  'slot',
  'ordinal',
  'due_from',
  'due_from_offset',
  'due_until',
  'due_until_offset',
  'evidence',
  'position',
  'look_at',
  'state',
];
