import { Check, Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import type { IncidentContent } from '#application';
import { IncidentEntity } from './incident.entity.js';
import { instantColumn } from './instant-column.js';

@Entity('telling')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'telling_incident_fkey',
})
@Check('telling_kind_known', `kind in ('report', 'amendment')`)
export class TellingEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'incident_id' })
  incidentId!: string;

  @PrimaryColumn('integer')
  revision!: number;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('text')
  kind!: 'report' | 'amendment';

  @Column('jsonb')
  content!: IncidentContent;

  @Column('uuid', { name: 'by_account', nullable: true })
  byAccount!: string | null;

  @Column(instantColumn('told_at'))
  toldAt!: string;
}

@Entity('telling_text')
@ForeignKey(() => TellingEntity, ['siteId', 'incidentId', 'revision'], ['siteId', 'incidentId', 'revision'], {
  name: 'telling_text_telling_fkey',
})
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'telling_text_incident_fkey',
})
export class TellingTextEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'incident_id' })
  incidentId!: string;

  @PrimaryColumn('integer')
  revision!: number;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea')
  sealed!: Buffer;
}
