import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { Assessment, BarrierPicture, Facts } from '#domain';
import { AccountEntity } from './account.entity.js';
import { IncidentEntity } from './incident.entity.js';
import { instantColumn } from './instant-column.js';

@Entity('assessment')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'assessment_incident_fkey',
})
@Unique('assessment_basis_key', ['siteId', 'incidentId', 'revision', 'tableHash', 'factsVersion'])
export class AssessmentEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'assessment_id' })
  assessmentId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('integer')
  revision!: number;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('text', { name: 'table_hash' })
  tableHash!: string;

  @Column('text', { name: 'facts_version' })
  factsVersion!: string;

  @Column('jsonb')
  facts!: Facts;

  @Column('jsonb')
  result!: Assessment;

  @Column('jsonb')
  barrier!: BarrierPicture;

  @Column('text')
  profile!: string;

  @Column('text')
  governing!: string;

  @Column(instantColumn('made_at'))
  madeAt!: string;
}

@Entity('determination')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'determination_incident_fkey',
})
@ForeignKey(() => AssessmentEntity, ['siteId', 'assessmentId'], ['siteId', 'assessmentId'], {
  name: 'determination_assessment_fkey',
})
@ForeignKey(() => AccountEntity, ['siteId', 'signedBy'], ['siteId', 'accountId'], { name: 'determination_signer_fkey' })
@ForeignKey(() => AccountEntity, ['siteId', 'secondClinician'], ['siteId', 'accountId'], {
  name: 'determination_second_fkey',
})
@Check('determination_two_people', 'second_clinician <> signed_by')
@Index('determination_incident_idx', ['siteId', 'incidentId', 'signedAt'])
export class DeterminationEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'determination_id' })
  determinationId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('integer', { name: 'on_revision' })
  onRevision!: number;

  @Column('uuid', { name: 'assessment_id' })
  assessmentId!: string;

  @Column('text', { name: 'category_id' })
  categoryId!: string;

  @Column('text')
  category!: string;

  @Column('boolean')
  departs!: boolean;

  @Column('uuid', { name: 'signed_by' })
  signedBy!: string;

  @Column('uuid', { name: 'second_clinician', nullable: true })
  secondClinician!: string | null;

  @Column(instantColumn('signed_at'))
  signedAt!: string;
}

@Entity('determination_text')
@ForeignKey(() => DeterminationEntity, ['siteId', 'determinationId'], ['siteId', 'determinationId'], {
  name: 'determination_text_determination_fkey',
})
export class DeterminationTextEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'determination_id' })
  determinationId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea')
  sealed!: Buffer;
}
