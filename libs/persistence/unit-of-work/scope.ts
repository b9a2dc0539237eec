import type { EntityManager, EntityTarget, ObjectLiteral, QueryRunner, Repository } from 'typeorm';
import type { QueryDeepPartialEntity } from 'typeorm/query-builder/QueryPartialEntity.js';
import type { Instant } from '#domain';
import type { Actor } from '#application';
import { IncidentEntity } from '../entities/incident.entity.js';
import { PersonKeyEntity } from '../entities/person.entity.js';
import { SiteKeyEntity } from '../entities/site.entity.js';
import type { SealingKey } from '../sealing/envelope.js';
import { personKeyPlace, siteKeyPlace } from '../sealing/places.js';

/** Keys of sites that were opened before: they never change while a process runs. */
export type SiteKeys = Map<string, SealingKey>;

/** What every store of one transaction shares: its connection, who acts where, the time, and the keys opened in it. */
export class Scope {
  readonly siteId: string;
  readonly #personKeys = new Map<string, SealingKey>();
  readonly #personOf = new Map<string, string>();

  constructor(
    readonly runner: QueryRunner,
    readonly actor: Actor,
    readonly now: Instant,
    private readonly masterKey: SealingKey,
    private readonly siteKeys: SiteKeys,
  ) {
    this.siteId = actor.siteId;
  }

  get manager(): EntityManager {
    return this.runner.manager;
  }

  repository<E extends ObjectLiteral>(entity: EntityTarget<E>): Repository<E> {
    return this.manager.getRepository(entity);
  }

  /** A plain INSERT: nothing is read back, since several roles may write what they may not read. */
  async insert<E extends ObjectLiteral>(
    entity: EntityTarget<E>,
    rows: QueryDeepPartialEntity<E> | QueryDeepPartialEntity<E>[],
  ): Promise<void> {
    if (Array.isArray(rows) && rows.length === 0) return;
    await this.manager.createQueryBuilder().insert().into(entity).values(rows).updateEntity(false).execute();
  }

  async query<Row>(text: string, values: readonly unknown[] = []): Promise<Row[]> {
    return (await this.runner.query(text, [...values], true)).records as Row[];
  }

  /** How many rows a statement changed. */
  async change(text: string, values: readonly unknown[]): Promise<number> {
    return (await this.runner.query(text, [...values], true)).affected ?? 0;
  }

  /** Prepared once a connection: for the statements of the hottest path, whose planning would cost more than they do. */
  async prepared(name: string, text: string, values: readonly unknown[]): Promise<void> {
    const client = (await this.runner.connect()) as {
      query(query: { name: string; text: string; values: readonly unknown[] }): Promise<unknown>;
    };
    await client.query({ name, text, values });
  }

  /** The key under which everything about a person is sealed; null once it was destroyed, or for who may not use it. */
  async findPersonKey(personId: string): Promise<SealingKey | null> {
    const known = this.#personKeys.get(personId);
    if (known) return known;
    const row = await this.repository(PersonKeyEntity).findOneBy({ siteId: this.siteId, personId });
    return row === null ? null : this.learnKey(personId, row.wrapped);
  }

  /** The same where something is to be sealed, which cannot be done without. */
  async personKey(personId: string): Promise<SealingKey> {
    const key = await this.findPersonKey(personId);
    if (key === null) throw new Error('This person has no key, or the actor may not use it.');
    return key;
  }

  /** Opens a wrapped key that came along with another row. */
  learnKey(personId: string, wrapped: Uint8Array): SealingKey {
    const key = this.masterKey.unwrap(wrapped, personKeyPlace(this.siteId, personId));
    this.#personKeys.set(personId, key);
    return key;
  }

  /** A new key for a new person, and its wrapped form for the row. */
  createPersonKey(personId: string, key: SealingKey): Buffer {
    this.#personKeys.set(personId, key);
    return this.masterKey.wrap(key, personKeyPlace(this.siteId, personId));
  }

  /** The key of the site's index of staff numbers. */
  async siteKey(): Promise<SealingKey> {
    const known = this.siteKeys.get(this.siteId);
    if (known) return known;
    const row = await this.repository(SiteKeyEntity).findOneBy({ siteId: this.siteId });
    if (row === null) throw new Error('This site has no index key, or the actor may not use it.');
    const key = this.masterKey.unwrap(row.wrapped, siteKeyPlace(this.siteId));
    this.siteKeys.set(this.siteId, key);
    return key;
  }

  wrapSiteKey(key: SealingKey): Buffer {
    return this.masterKey.wrap(key, siteKeyPlace(this.siteId));
  }

  /** Whose incident it is; every row about an incident carries it. */
  async personOf(incidentId: string): Promise<string> {
    const known = this.#personOf.get(incidentId);
    if (known !== undefined) return known;
    const row = await this.repository(IncidentEntity).findOne({
      select: { personId: true },
      where: { siteId: this.siteId, incidentId },
    });
    if (row === null) throw new Error('The incident of this row does not exist, or the actor may not see it.');
    return this.learnPerson(incidentId, row.personId);
  }

  learnPerson(incidentId: string, personId: string): string {
    this.#personOf.set(incidentId, personId);
    return personId;
  }
}
