import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { IncidentContent, IncidentKind, IncidentState } from '#application';
import { instantColumn } from './instant-column.js';
import { PersonEntity } from './person.entity.js';
import { SiteEntity, UnitEntity } from './site.entity.js';
import { SourceEntity } from './source.entity.js';

@Entity('event')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'event_site_fkey' })
export class EventEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'event_id' })
  eventId!: string;

  @Column(instantColumn('opened_at'))
  openedAt!: string;
}

@Entity('report_receipt')
export class ReportReceiptEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'report_id' })
  reportId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column(instantColumn('received_at'))
  receivedAt!: string;
}

@Entity('incident')
@ForeignKey(() => EventEntity, ['siteId', 'eventId'], ['siteId', 'eventId'], { name: 'incident_event_fkey' })
@ForeignKey(() => ReportReceiptEntity, ['siteId', 'reportId'], ['siteId', 'reportId'], {
  name: 'incident_report_fkey',
})
@ForeignKey(() => PersonEntity, ['siteId', 'personId'], ['siteId', 'personId'], { name: 'incident_person_fkey' })
@ForeignKey(() => UnitEntity, ['siteId', 'unitId'], ['siteId', 'unitId'], { name: 'incident_unit_fkey' })
@ForeignKey(() => SourceEntity, ['siteId', 'sourceId'], ['siteId', 'sourceId'], { name: 'incident_source_fkey' })
@Unique('incident_report_key', ['siteId', 'reportId'])
@Unique('incident_person_key', ['siteId', 'incidentId', 'personId'])
@Check('incident_state_known', `state in ('open', 'determined', 'released')`)
@Check('incident_kind_known', `kind in ('breach', 'lapse', 'near-miss')`)
@Check('incident_urgency_known', 'urgency between 1 and 5')
@Index('incident_queue_idx', ['siteId', 'state', 'urgency', 'reportedAt', 'incidentId'])
@Index('incident_urgency_idx', ['siteId', 'urgency', 'reportedAt', 'incidentId'])
@Index('incident_person_idx', ['siteId', 'personId', 'reportedAt'])
@Index('incident_event_idx', ['siteId', 'eventId'])
@Index('incident_source_idx', ['siteId', 'sourceId'], { where: 'source_id is not null' })
@Index('incident_occurred_idx', ['siteId', 'occurredOn'])
export class IncidentEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('uuid', { name: 'event_id' })
  eventId!: string;

  @Column('uuid', { name: 'report_id' })
  reportId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'unit_id' })
  unitId!: string;

  @Column('text', { name: 'ensemble_id' })
  ensembleId!: string;

  @Column('text', { name: 'ensemble_version' })
  ensembleVersion!: string;

  @Column('text')
  state!: IncidentState;

  @Column('integer')
  revision!: number;

  @Column('uuid', { name: 'source_id', nullable: true })
  sourceId!: string | null;

  @Column(instantColumn('reported_at'))
  reportedAt!: string;

  @Column('uuid', { name: 'reported_by_account', nullable: true })
  reportedByAccount!: string | null;

  @Column(instantColumn('identity_confirmed_at', { nullable: true }))
  identityConfirmedAt!: string | null;

  @Column('text')
  kind!: IncidentKind;

  @Column('text')
  stage!: string;

  @Column('text', { nullable: true })
  step!: string | null;

  @Column('date', { name: 'occurred_on' })
  occurredOn!: string;

  @Column('smallint')
  urgency!: number;

  @Column('jsonb')
  content!: IncidentContent;
}

@Entity('incident_breach')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId'], ['siteId', 'incidentId'], {
  name: 'incident_breach_incident_fkey',
})
export class IncidentBreachEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'incident_id' })
  incidentId!: string;

  @PrimaryColumn('smallint')
  ordinal!: number;

  @Column('text')
  layer!: string;

  @Column('text')
  extent!: string;

  @Column('text')
  manner!: string;
}

@Entity('incident_lapse')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId'], ['siteId', 'incidentId'], {
  name: 'incident_lapse_incident_fkey',
})
export class IncidentLapseEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'incident_id' })
  incidentId!: string;

  @PrimaryColumn('text')
  lapse!: string;
}
