import { Check, Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import type { Role } from '#application';
import { instantColumn } from './instant-column.js';
import { PersonEntity } from './person.entity.js';
import { SiteEntity } from './site.entity.js';

@Entity('account')
@ForeignKey(() => SiteEntity, ['siteId'], ['siteId'], { name: 'account_site_fkey' })
@ForeignKey(() => PersonEntity, ['siteId', 'personId'], ['siteId', 'personId'], { name: 'account_person_fkey' })
@Check('account_role_known', `role in ('wearer', 'nurse', 'infection-control', 'manager', 'administrator')`)
export class AccountEntity {
  @PrimaryColumn('uuid', { name: 'site_id' })
  siteId!: string;

  @PrimaryColumn('uuid', { name: 'account_id' })
  accountId!: string;

  @Column('uuid', { name: 'person_id', nullable: true })
  personId!: string | null;

  @Column('text')
  role!: Role;

  @Column('text')
  login!: string;

  // Written here, read through the sign-in function only: no role has the grant to select it.
  @Column('text', { name: 'password_hash', nullable: true, select: false })
  passwordHash!: string | null;

  @Column('uuid', { name: 'unit_ids', array: true, default: () => `'{}'` })
  unitIds!: string[];

  @Column(instantColumn('disabled_at', { nullable: true }))
  disabledAt!: string | null;

  @Column(instantColumn('created_at', { default: () => 'now()' }))
  createdAt!: string;
}

@Entity('account_login')
@ForeignKey(() => AccountEntity, ['siteId', 'accountId'], ['siteId', 'accountId'], {
  name: 'account_login_account_fkey',
})
export class AccountLoginEntity {
  @PrimaryColumn('text')
  login!: string;

  @Column('uuid', { name: 'site_id' })
  siteId!: string;

  @Column('uuid', { name: 'account_id' })
  accountId!: string;
}
