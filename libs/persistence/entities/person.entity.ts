import { Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { UnitEntity } from './site.entity.js';

@Entity('person')
@ForeignKey(() => UnitEntity, ['siteId', 'unitId'], ['siteId', 'unitId'], { name: 'person_unit_fkey' })
@Unique('person_pseudonym_key', ['siteId', 'pseudonym'])
@Unique('person_roster_ref_key', ['siteId', 'rosterRef'])
@Unique('person_unit_key', ['siteId', 'personId', 'unitId'])
export class PersonEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'unit_id' })
  unitId!: string;

  @Column('text')
  pseudonym!: string;

  @Column('uuid', { name: 'roster_ref' })
  rosterRef!: string;

  @Column('text')
  job!: string;

  @Column('text', { name: 'time_zone' })
  timeZone!: string;
}

@Entity('person_key')
@ForeignKey(() => PersonEntity, ['siteId', 'personId'], ['siteId', 'personId'], { name: 'person_key_person_fkey' })
export class PersonKeyEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea')
  wrapped!: Buffer;
}

@Entity('person_identity')
@ForeignKey(() => PersonEntity, ['siteId', 'personId'], ['siteId', 'personId'], {
  name: 'person_identity_person_fkey',
})
@Unique('person_identity_staff_number_key', ['siteId', 'staffNumberHash'])
export class PersonIdentityEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea', { name: 'staff_number_hash' })
  staffNumberHash!: Buffer;

  @Column('bytea')
  sealed!: Buffer;
}

@Entity('person_name')
@ForeignKey(() => PersonEntity, ['siteId', 'personId', 'unitId'], ['siteId', 'personId', 'unitId'], {
  name: 'person_name_person_fkey',
  onUpdate: 'CASCADE',
})
@Index('person_name_unit_idx', ['siteId', 'unitId'])
export class PersonNameEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'unit_id' })
  unitId!: string;

  @Column('bytea')
  sealed!: Buffer;
}
