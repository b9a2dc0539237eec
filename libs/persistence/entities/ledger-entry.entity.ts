import { Column, Entity, ForeignKey, Index, PrimaryColumn, PrimaryGeneratedColumn } from 'typeorm';
import { instantColumn } from './instant-column.js';
import { SiteEntity } from './site.entity.js';

@Entity('ledger_entry')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'ledger_entry_site_fkey' })
@Index('ledger_entry_person_idx', ['siteId', 'personId', 'entryId'], { where: 'person_id is not null' })
export class LedgerEntryEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryGeneratedColumn('identity', { name: 'entry_id', type: 'bigint', generatedIdentity: 'ALWAYS' })
  entryId!: string;

  @Column({ type: 'bigint', default: () => 'context_transaction()', insert: false })
  xact!: string;

  @Column(instantColumn('recorded_at', { default: () => 'now()', insert: false }))
  recordedAt!: string;

  @Column({ type: 'uuid', name: 'actor_account', nullable: true, default: () => 'context_account()', insert: false })
  actorAccount!: string | null;

  @Column({ type: 'text', name: 'actor_role', default: () => 'context_role()', insert: false })
  actorRole!: string;

  @Column('text')
  action!: string;

  @Column('text', { name: 'subject_kind' })
  subjectKind!: string;

  @Column('text', { name: 'subject_id' })
  subjectId!: string;

  @Column('uuid', { name: 'person_id', nullable: true })
  personId!: string | null;

  @Column('jsonb')
  detail!: Readonly<Record<string, string | number | boolean>>;
}
