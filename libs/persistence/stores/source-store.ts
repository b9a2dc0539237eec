import { In } from 'typeorm';
import type { SourceRecord, SourceStatusRecord, SourceStore } from '#application';
import { SourceEntity, SourceStatusEntity } from '../entities/source.entity.js';
import type { Scope } from '../unit-of-work/scope.js';

function statusToRecord(entity: SourceStatusEntity): SourceStatusRecord {
  const { status, agent, onDate, sampledOn, byAccount, statedAt } = entity;
  return { status, agent, onDate, sampledOn, byAccount, at: statedAt };
}

export class PostgresSourceStore implements SourceStore {
  constructor(private readonly scope: Scope) {}

  async find(sourceId: string): Promise<SourceRecord | null> {
    return this.#one(await this.scope.repository(SourceEntity).findOneBy({ siteId: this.scope.siteId, sourceId }));
  }

  async list(): Promise<SourceRecord[]> {
    return this.#all(
      await this.scope
        .repository(SourceEntity)
        .find({ where: { siteId: this.scope.siteId }, order: { pseudonym: 'ASC' } }),
    );
  }

  async findByPseudonym(pseudonym: string): Promise<SourceRecord | null> {
    return this.#one(await this.scope.repository(SourceEntity).findOneBy({ siteId: this.scope.siteId, pseudonym }));
  }

  async #one(entity: SourceEntity | null): Promise<SourceRecord | null> {
    if (entity === null) return null;
    const [record] = await this.#all([entity]);
    return record ?? null;
  }

  async #all(sources: readonly SourceEntity[]): Promise<SourceRecord[]> {
    if (sources.length === 0) return [];
    const statuses = await this.scope.repository(SourceStatusEntity).find({
      where: { siteId: this.scope.siteId, sourceId: In(sources.map(({ sourceId }) => sourceId)) },
      order: { ordinal: 'ASC' },
    });
    return sources.map(({ sourceId, pseudonym }) => ({
      sourceId,
      pseudonym,
      statuses: statuses.filter((status) => status.sourceId === sourceId).map(statusToRecord),
    }));
  }

  async insert(sourceId: string, pseudonym: string): Promise<void> {
    await this.scope.insert(SourceEntity, { siteId: this.scope.siteId, sourceId, pseudonym });
  }

  async appendStatus(sourceId: string, { at, ...status }: SourceStatusRecord): Promise<void> {
    const { siteId } = this.scope;
    const ordinal = await this.scope.repository(SourceStatusEntity).countBy({ siteId, sourceId });
    // Of two at the same moment the second finds the place taken and is told so.
    await this.scope.insert(SourceStatusEntity, { siteId, sourceId, ordinal, ...status, statedAt: at });
  }
}
