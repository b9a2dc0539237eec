import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { MeasurementSite, ReadingJudgement, TemperatureUnit, Ternary } from '#domain';
import { instantColumn } from './instant-column.js';
import { PlanEntity } from './plan.entity.js';

@Entity('reading')
@ForeignKey(() => PlanEntity, ['siteId', 'planId', 'personId'], ['siteId', 'planId', 'personId'], {
  name: 'reading_plan_fkey',
})
@Index('reading_plan_idx', ['siteId', 'planId', 'takenAt'])
export class ReadingEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'reading_id' })
  readingId!: string;

  @Column('uuid', { name: 'plan_id' })
  planId!: string;

  @Column('uuid', { name: 'person_id' })
  personId!: string;

  @Column('text', { name: 'check_key', nullable: true })
  checkKey!: string | null;

  @Column(instantColumn('taken_at'))
  takenAt!: string;

  @Column('text', { nullable: true })
  value!: string | null;

  @Column('text')
  unit!: TemperatureUnit;

  @Column('text', { name: 'measurement_site' })
  measurementSite!: MeasurementSite;

  @Column('text', { name: 'antipyretic_taken' })
  antipyreticTaken!: Ternary;

  @Column('text', { name: 'felt_fever' })
  feltFever!: Ternary;

  @Column('text', { array: true })
  symptoms!: string[];

  @Column('uuid', { name: 'entered_by', nullable: true })
  enteredBy!: string | null;

  @Column(instantColumn('entered_at'))
  enteredAt!: string;

  @Column('boolean', { name: 'confirmed_implausible' })
  confirmedImplausible!: boolean;

  @Column('jsonb')
  judgement!: ReadingJudgement;
}
