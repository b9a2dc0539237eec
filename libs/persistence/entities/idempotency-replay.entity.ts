import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { instantColumn } from './instant-column.js';
import { SiteEntity } from './site.entity.js';

@Entity('idempotency_replay')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'idempotency_replay_site_fkey' })
@Index('idempotency_replay_age_idx', ['createdAt'])
export class IdempotencyReplayEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('text')
  principal!: string;

  @PrimaryColumn('text')
  route!: string;

  @PrimaryColumn('text')
  key!: string;

  @Column({ type: 'uuid', name: 'account_id', default: () => 'context_account()', insert: false })
  accountId!: string;

  @Column('text')
  fingerprint!: string;

  @Column('smallint')
  status!: number;

  @Column('jsonb')
  body!: unknown;

  @Column('text', { nullable: true })
  etag!: string | null;

  @Column(instantColumn('created_at', { default: () => 'now()', insert: false }))
  createdAt!: string;
}
