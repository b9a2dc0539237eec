import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { AlertEntity } from './alert.entity.js';
import { instantColumn } from './instant-column.js';
import { SiteEntity } from './site.entity.js';

@Entity('outbox')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'outbox_site_fkey' })
@ForeignKey(() => AlertEntity, ['siteId', 'alertId'], ['siteId', 'alertId'], { name: 'outbox_alert_fkey' })
@Index('outbox_waiting_idx', ['nextAttemptAt'], { where: 'sent_at is null' })
export class OutboxEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'message_id' })
  messageId!: string;

  @Column('uuid', { name: 'alert_id', nullable: true })
  alertId!: string | null;

  @Column('text')
  recipient!: string;

  @Column('text')
  subject!: string;

  @Column('text')
  text!: string;

  @Column('integer', { default: 0 })
  attempts!: number;

  @Column(instantColumn('created_at', { default: () => 'now()', insert: false }))
  createdAt!: string;

  @Column(instantColumn('next_attempt_at', { default: () => 'now()', insert: false }))
  nextAttemptAt!: string;

  @Column({ type: 'uuid', nullable: true, insert: false })
  lease!: string | null;

  @Column(instantColumn('leased_until', { nullable: true, insert: false }))
  leasedUntil!: string | null;

  @Column(instantColumn('sent_at', { nullable: true, insert: false }))
  sentAt!: string | null;

  @Column({ type: 'text', nullable: true, insert: false })
  failure!: string | null;
}
