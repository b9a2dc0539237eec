import { In } from 'typeorm';
import type { PermittedWork } from '#domain';
import type { DutyStatusRecord, DutyStatusStore } from '#application';
import { DutyStatusEntity } from '../entities/duty-status.entity.js';
import { PersonKeyEntity, PersonNameEntity } from '../entities/person.entity.js';
import { namePlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';

export class PostgresDutyStatusStore implements DutyStatusStore {
  constructor(private readonly scope: Scope) {}

  async list(): Promise<DutyStatusRecord[]> {
    const found = await this.scope
      .repository(DutyStatusEntity)
      .find({ where: { siteId: this.scope.siteId }, order: { rosterRef: 'ASC' } });
    return found.map(({ siteId: _site, ...record }) => record);
  }

  counts(): Promise<{ work: PermittedWork; people: number }[]> {
    return this.scope.query('select work, people from duty_status_counts()');
  }

  async set(status: DutyStatusRecord): Promise<void> {
    if (this.scope.actor.role !== 'nurse') {
      // Whoever is no nurse can hold somebody from the roster, and ease nothing.
      const { personId, rosterRef, unitId, work, nextReviewDate } = status;
      await this.scope.query('select tighten_duty_status($1, $2, $3, $4, $5)', [
        personId,
        rosterRef,
        unitId,
        work,
        nextReviewDate,
      ]);
      return;
    }
    await this.scope.manager
      .createQueryBuilder()
      .insert()
      .into(DutyStatusEntity)
      .values({ siteId: this.scope.siteId, ...status })
      .orUpdate(['roster_ref', 'work', 'until_date', 'next_review_date', 'set_by'], ['site_id', 'person_id'])
      .updateEntity(false)
      .execute();
  }

  async clear(personId: string): Promise<void> {
    await this.scope.repository(DutyStatusEntity).delete({ siteId: this.scope.siteId, personId });
  }

  async names(personIds: readonly string[]): Promise<Map<string, string>> {
    if (personIds.length === 0) return new Map();
    const { siteId } = this.scope;
    const where = { siteId, personId: In([...personIds]) };
    const keys = await this.scope.repository(PersonKeyEntity).findBy(where);
    const opened = new Map(keys.map(({ personId, wrapped }) => [personId, this.scope.learnKey(personId, wrapped)]));
    const sealed = await this.scope.repository(PersonNameEntity).findBy(where);
    return new Map(
      sealed.flatMap(({ personId, sealed: envelope }) => {
        const key = opened.get(personId);
        return key ? [[personId, key.openJson(envelope, namePlace(siteId, personId)) as string]] : [];
      }),
    );
  }
}
