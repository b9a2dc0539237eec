import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { UnitEntity } from './site.entity.js';

@Entity('ppe_use')
@ForeignKey(() => UnitEntity, ['siteId', 'unitId'], ['siteId', 'unitId'], { name: 'ppe_use_unit_fkey' })
@Check('ppe_use_counted', 'uses >= 0')
@Index('ppe_use_date_idx', ['siteId', 'localDate'])
export class PpeUseEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'unit_id' })
  unitId!: string;

  @PrimaryColumn('date', { name: 'local_date' })
  localDate!: string;

  @PrimaryColumn('text', { name: 'ensemble_id' })
  ensembleId!: string;

  @Column('integer')
  uses!: number;
}
