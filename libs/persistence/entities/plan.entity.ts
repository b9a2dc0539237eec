import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { CheckKind, FollowUpPlan, PlannedCheck, Slot } from '#domain';
import { AccountEntity } from './account.entity.js';
import { DeterminationEntity } from './assessment.entity.js';
import { IncidentEntity } from './incident.entity.js';
import { instantColumn } from './instant-column.js';

/** The plan without what stands in columns and rows of its own. */
export type PlanContent = Omit<FollowUpPlan, 'checks' | 'dayZero' | 'lastDay'>;
/** What many checks of one plan share. */
export type CheckEvidence = Pick<PlannedCheck, 'profile' | 'label' | 'source' | 'grade'>;

@Entity('plan')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'plan_incident_fkey',
})
@ForeignKey(() => DeterminationEntity, ['siteId', 'determinationId'], ['siteId', 'determinationId'], {
  name: 'plan_determination_fkey',
})
@Unique('plan_incident_key', ['siteId', 'incidentId'])
@Unique('plan_person_key', ['siteId', 'planId', 'personId'])
@Check('plan_basis_known', `basis in ('interim', 'determination')`)
@Check('plan_state_known', `state in ('running', 'released')`)
@Index('plan_person_idx', ['siteId', 'personId'])
@Index('plan_running_idx', ['siteId', 'planId'], { where: `state = 'running'` })
export class PlanEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'plan_id' })
  planId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('integer')
  revision!: number;

  @Column('text')
  basis!: 'interim' | 'determination';

  @Column('uuid', { name: 'determination_id', nullable: true })
  determinationId!: string | null;

  @Column('text')
  state!: 'running' | 'released';

  @Column(instantColumn('released_at', { nullable: true }))
  releasedAt!: string | null;

  @Column('date', { name: 'day_zero' })
  dayZero!: string;

  @Column('date', { name: 'last_day' })
  lastDay!: string;

  @Column('jsonb')
  content!: PlanContent;

  @Column('jsonb')
  evidence!: CheckEvidence[];
}

@Entity('plan_check')
@ForeignKey(() => PlanEntity, ['siteId', 'planId', 'personId'], ['siteId', 'planId', 'personId'], {
  name: 'plan_check_plan_fkey',
})
@Check('plan_check_state_known', `state in ('due', 'done', 'withdrawn')`)
@Index('plan_check_due_idx', ['lookAt'], { where: `state = 'due' and alerted_at is null` })
export class PlanCheckEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'plan_id' })
  planId!: string;

  @PrimaryColumn('text', { name: 'check_key' })
  checkKey!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('text')
  kind!: CheckKind;

  @Column('date', { name: 'local_date' })
  localDate!: string;

  @Column('text', { nullable: true })
  slot!: Slot | null;

  @Column('smallint')
  ordinal!: number;

  @Column(instantColumn('due_from'))
  dueFrom!: string;

  @Column('smallint', { name: 'due_from_offset' })
  dueFromOffset!: number;

  @Column(instantColumn('due_until'))
  dueUntil!: string;

  @Column('smallint', { name: 'due_until_offset' })
  dueUntilOffset!: number;

  @Column('smallint')
  evidence!: number;

  @Column('smallint')
  position!: number;

  @Column(instantColumn('look_at'))
  lookAt!: string;

  @Column(instantColumn('alerted_at', { nullable: true }))
  alertedAt!: string | null;

  @Column('text')
  state!: 'due' | 'done' | 'withdrawn';

  @Column(instantColumn('done_at', { nullable: true }))
  doneAt!: string | null;

  @Column('uuid', { name: 'reading_id', nullable: true })
  readingId!: string | null;
}

@Entity('plan_release')
@ForeignKey(() => PlanEntity, ['siteId', 'planId', 'personId'], ['siteId', 'planId', 'personId'], {
  name: 'plan_release_plan_fkey',
})
@ForeignKey(() => AccountEntity, ['siteId', 'releasedBy'], ['siteId', 'accountId'], {
  name: 'plan_release_signer_fkey',
})
@ForeignKey(() => AccountEntity, ['siteId', 'secondClinician'], ['siteId', 'accountId'], {
  name: 'plan_release_second_fkey',
})
@Check('plan_release_two_people', 'second_clinician <> released_by')
@Check('plan_release_early_has_both', '(second_clinician is null) = (sealed is null)')
export class PlanReleaseEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'plan_id' })
  planId!: string;

  @Column(instantColumn('released_at', { primary: true }))
  releasedAt!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('uuid', { name: 'released_by' })
  releasedBy!: string;

  @Column('uuid', { name: 'second_clinician', nullable: true })
  secondClinician!: string | null;

  @Column('bytea', { nullable: true })
  sealed!: Buffer | null;
}
