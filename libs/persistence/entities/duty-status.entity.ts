import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { PermittedWork } from '#domain';
import { PersonEntity } from './person.entity.js';

@Entity('duty_status')
@ForeignKey(() => PersonEntity, ['siteId', 'personId', 'unitId'], ['siteId', 'personId', 'unitId'], {
  name: 'duty_status_person_fkey',
  onUpdate: 'CASCADE',
})
@Check(
  'duty_status_work_known',
  `work in ('all', 'no-patient-contact', 'not-on-site', 'remote-only', 'not-rostered-until-decided')`,
)
@Check('duty_status_set_by_known', `set_by in ('report', 'nurse')`)
@Index('duty_status_unit_idx', ['siteId', 'unitId'])
export class DutyStatusEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'roster_ref' })
  rosterRef!: string;

  @Column('uuid', { name: 'unit_id' })
  unitId!: string;

  @Column('text')
  work!: PermittedWork;

  @Column('date', { name: 'until_date', nullable: true })
  untilDate!: string | null;

  @Column('date', { name: 'next_review_date', nullable: true })
  nextReviewDate!: string | null;

  @Column('text', { name: 'set_by' })
  setBy!: 'report' | 'nurse';
}
