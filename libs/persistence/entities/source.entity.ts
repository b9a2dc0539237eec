import { Check, Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import type { SourceStatus } from '#application';
import { instantColumn } from './instant-column.js';
import { SiteEntity } from './site.entity.js';

@Entity('source')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'source_site_fkey' })
@Unique('source_pseudonym_key', ['siteId', 'pseudonym'])
export class SourceEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'source_id' })
  sourceId!: string;

  @Column('text')
  pseudonym!: string;
}

@Entity('source_status')
@ForeignKey(() => SourceEntity, ['siteId', 'sourceId'], ['siteId', 'sourceId'], { name: 'source_status_source_fkey' })
@Check('source_status_known', `status in ('suspected', 'confirmed', 'ruled-out')`)
export class SourceStatusEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'source_id' })
  sourceId!: string;

  @PrimaryColumn('integer')
  ordinal!: number;

  @Column('text')
  status!: SourceStatus;

  @Column('text')
  agent!: string;

  @Column('date', { name: 'on_date' })
  onDate!: string;

  @Column('date', { name: 'sampled_on', nullable: true })
  sampledOn!: string | null;

  @Column('uuid', { name: 'by_account' })
  byAccount!: string;

  @Column(instantColumn('stated_at'))
  statedAt!: string;
}
