import { Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import type { SiteSettings } from '#application';
import { instantColumn } from './instant-column.js';

@Entity('site')
@Unique('site_slug_key', ['slug'])
export class SiteEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @Column('text')
  slug!: string;

  @Column('text')
  name!: string;

  @Column('text', { name: 'time_zone' })
  timeZone!: string;

  @Column('jsonb')
  settings!: SiteSettings;

  @Column(instantColumn('created_at', { default: () => 'now()' }))
  createdAt!: string;
}

@Entity('site_key')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'site_key_site_fkey' })
export class SiteKeyEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @Column('bytea')
  wrapped!: Buffer;
}

@Entity('unit')
@Unique('unit_name_key', ['siteId', 'name'])
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'unit_site_fkey' })
export class UnitEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'unit_id' })
  unitId!: string;

  @Column('text')
  name!: string;

  @Column('text', { name: 'ensemble_id' })
  ensembleId!: string;

  @Column('text', { name: 'ensemble_version' })
  ensembleVersion!: string;
}

@Entity('local_confirmation')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'local_confirmation_site_fkey' })
export class LocalConfirmationEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('text')
  subject!: string;

  @PrimaryColumn('text')
  version!: string;

  @PrimaryColumn('text')
  hash!: string;

  @Column('uuid', { name: 'confirmed_by' })
  confirmedBy!: string;

  @Column('text', { name: 'confirmed_by_name' })
  confirmedByName!: string;

  @Column(instantColumn('confirmed_at'))
  confirmedAt!: string;
}
