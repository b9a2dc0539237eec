import { Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { AlertKind, AlertOutcome } from '#application';
import { IncidentEntity } from './incident.entity.js';
import { instantColumn } from './instant-column.js';
import { PlanEntity } from './plan.entity.js';

@Entity('alert')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'alert_incident_fkey',
})
@ForeignKey(() => PlanEntity, ['siteId', 'planId'], ['siteId', 'planId'], { name: 'alert_plan_fkey' })
@Unique('alert_key_key', ['siteId', 'alertKey'])
@Index('alert_open_idx', ['siteId', 'raisedAt'], { where: 'closed_at is null' })
@Index('alert_incident_idx', ['siteId', 'incidentId'])
@Index('alert_person_idx', ['siteId', 'personId'])
export class AlertEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'alert_id' })
  alertId!: string;

  @Column('text', { name: 'alert_key' })
  alertKey!: string;

  @Column('text')
  kind!: AlertKind;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('uuid', { name: 'plan_id', nullable: true })
  planId!: string | null;

  @Column('text', { name: 'check_key', nullable: true })
  checkKey!: string | null;

  @Column('jsonb')
  reasons!: string[];

  @Column(instantColumn('raised_at'))
  raisedAt!: string;

  @Column('uuid', { name: 'acknowledged_by', nullable: true })
  acknowledgedBy!: string | null;

  @Column(instantColumn('acknowledged_at', { nullable: true }))
  acknowledgedAt!: string | null;

  @Column(instantColumn('paused_until', { nullable: true }))
  pausedUntil!: string | null;

  @Column('text', { nullable: true })
  outcome!: AlertOutcome | null;

  @Column('uuid', { name: 'closed_by', nullable: true })
  closedBy!: string | null;

  @Column(instantColumn('closed_at', { nullable: true }))
  closedAt!: string | null;
}

@Entity('alert_text')
@ForeignKey(() => AlertEntity, ['siteId', 'alertId'], ['siteId', 'alertId'], { name: 'alert_text_alert_fkey' })
export class AlertTextEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'alert_id' })
  alertId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea')
  sealed!: Buffer;
}
