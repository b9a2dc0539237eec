import { In } from 'typeorm';
import type { PersonIdentity, PersonRecord, PersonStore } from '#application';
import { PersonEntity, PersonIdentityEntity, PersonKeyEntity, PersonNameEntity } from '../entities/person.entity.js';
import { normaliseStaffNumber, SealingKey } from '../sealing/envelope.js';
import { identityPlace, namePlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';

const STAFF_NUMBER = 'staff-number';

function toRecord({ personId, unitId, pseudonym, rosterRef, job, timeZone }: PersonEntity): PersonRecord {
  return { personId, unitId, pseudonym, rosterRef, job, timeZone };
}

export class PostgresPersonStore implements PersonStore {
  constructor(private readonly scope: Scope) {}

  async find(personId: string): Promise<PersonRecord | null> {
    const found = await this.scope.repository(PersonEntity).findOneBy({ siteId: this.scope.siteId, personId });
    return found === null ? null : toRecord(found);
  }

  async findAll(personIds: readonly string[]): Promise<Map<string, PersonRecord>> {
    if (personIds.length === 0) return new Map();
    const found = await this.scope
      .repository(PersonEntity)
      .findBy({ siteId: this.scope.siteId, personId: In([...personIds]) });
    return new Map(found.map((entity) => [entity.personId, toRecord(entity)]));
  }

  async findByStaffNumber(staffNumber: string): Promise<PersonRecord | null> {
    const [found] = await this.scope.query<FoundPerson>('select * from find_person($1)', [
      (await this.scope.siteKey()).index(normaliseStaffNumber(staffNumber), STAFF_NUMBER),
    ]);
    if (found === undefined) return null;
    this.scope.learnKey(found.person_id, found.wrapped);
    return {
      personId: found.person_id,
      unitId: found.unit_id,
      pseudonym: found.pseudonym,
      rosterRef: found.roster_ref,
      job: found.job,
      timeZone: found.time_zone,
    };
  }

  async list(): Promise<PersonRecord[]> {
    const found = await this.scope
      .repository(PersonEntity)
      .find({ where: { siteId: this.scope.siteId }, order: { pseudonym: 'ASC' } });
    return found.map(toRecord);
  }

  async identities(personIds: readonly string[]): Promise<Map<string, PersonIdentity>> {
    if (personIds.length === 0) return new Map();
    const { siteId } = this.scope;
    const where = { siteId, personId: In([...personIds]) };
    const keys = await this.scope.repository(PersonKeyEntity).findBy(where);
    const opened = new Map(keys.map(({ personId, wrapped }) => [personId, this.scope.learnKey(personId, wrapped)]));
    const sealed = await this.scope.repository(PersonIdentityEntity).findBy(where);
    return new Map(
      sealed.flatMap(({ personId, sealed: envelope }) => {
        // Without its key a person's identity is gone, as it is meant to be.
        const key = opened.get(personId);
        return key ? [[personId, key.openJson(envelope, identityPlace(siteId, personId)) as PersonIdentity]] : [];
      }),
    );
  }

  async insert(person: PersonRecord, identity: PersonIdentity): Promise<void> {
    const { siteId } = this.scope;
    const { personId, unitId } = person;
    const key = SealingKey.create();
    await this.scope.insert(PersonEntity, { siteId, ...person });
    await this.scope.insert(PersonKeyEntity, { siteId, personId, wrapped: this.scope.createPersonKey(personId, key) });
    await this.scope.insert(PersonIdentityEntity, {
      siteId,
      personId,
      staffNumberHash: (await this.scope.siteKey()).index(normaliseStaffNumber(identity.staffNumber), STAFF_NUMBER),
      sealed: key.sealJson(identity, identityPlace(siteId, personId)),
    });
    await this.scope.insert(PersonNameEntity, {
      siteId,
      personId,
      unitId,
      sealed: key.sealJson(identity.name, namePlace(siteId, personId)),
    });
  }
}

interface FoundPerson {
  readonly person_id: string;
  readonly unit_id: string;
  readonly pseudonym: string;
  readonly roster_ref: string;
  readonly job: string;
  readonly time_zone: string;
  readonly wrapped: Buffer;
}
