import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { IncidentEntity } from './incident.entity.js';
import { instantColumn } from './instant-column.js';

@Entity('letter')
@ForeignKey(() => IncidentEntity, ['siteId', 'incidentId', 'personId'], ['siteId', 'incidentId', 'personId'], {
  name: 'letter_incident_fkey',
})
@Index('letter_incident_idx', ['siteId', 'incidentId'])
export class LetterEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'letter_id' })
  letterId!: string;

  @Column('uuid', { name: 'incident_id' })
  incidentId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('text')
  kind!: 'referral';

  @Column('integer')
  revision!: number;

  @Column('text', { name: 'content_hash' })
  contentHash!: string;

  @Column('text')
  paper!: 'A4' | 'LETTER';

  @Column(instantColumn('created_at'))
  createdAt!: string;

  @Column('uuid', { name: 'signed_by', nullable: true })
  signedBy!: string | null;

  @Column(instantColumn('signed_at', { nullable: true }))
  signedAt!: string | null;
}

@Entity('letter_pdf')
@ForeignKey(() => LetterEntity, ['siteId', 'letterId'], ['siteId', 'letterId'], { name: 'letter_pdf_letter_fkey' })
export class LetterPdfEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'letter_id' })
  letterId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('bytea')
  sealed!: Buffer;
}
