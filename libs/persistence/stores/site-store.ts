import type { AccountRecord, LocalConfirmation, SiteRecord, SiteSettings, SiteStore, UnitRecord } from '#application';
import { AccountEntity, AccountLoginEntity } from '../entities/account.entity.js';
import { LocalConfirmationEntity, SiteEntity, SiteKeyEntity, UnitEntity } from '../entities/site.entity.js';
import { SealingKey } from '../sealing/envelope.js';
import type { Scope } from '../unit-of-work/scope.js';

export class PostgresSiteStore implements SiteStore {
  constructor(private readonly scope: Scope) {}

  async read(): Promise<SiteRecord> {
    const { siteId, slug, name, timeZone, settings } = await this.scope
      .repository(SiteEntity)
      .findOneByOrFail({ siteId: this.scope.siteId });
    return { siteId, slug, name, timeZone, settings };
  }

  async units(): Promise<UnitRecord[]> {
    const found = await this.scope
      .repository(UnitEntity)
      .find({ where: { siteId: this.scope.siteId }, order: { name: 'ASC' } });
    return found.map(({ unitId, name, ensembleId, ensembleVersion }) => ({
      unitId,
      name,
      ensembleId,
      ensembleVersion,
    }));
  }

  async confirmations(): Promise<LocalConfirmation[]> {
    const found = await this.scope
      .repository(LocalConfirmationEntity)
      .find({ where: { siteId: this.scope.siteId }, order: { confirmedAt: 'ASC' } });
    return found.map(({ subject, version, hash, confirmedBy, confirmedByName, confirmedAt }) => ({
      subject,
      version,
      hash,
      confirmedBy,
      confirmedByName,
      at: confirmedAt,
    }));
  }

  async changeSettings(settings: SiteSettings): Promise<void> {
    const { siteId } = this.scope;
    await this.scope.repository(SiteEntity).update({ siteId }, { settings: settings as object });
    await this.scope.query('select change_reading_grace($1)', [settings.readingGraceMinutes]);
  }

  async confirm({ at, ...confirmation }: LocalConfirmation): Promise<void> {
    await this.scope.insert(LocalConfirmationEntity, {
      siteId: this.scope.siteId,
      ...confirmation,
      confirmedAt: at,
    });
  }

  async accounts(): Promise<AccountRecord[]> {
    const found = await this.scope
      .repository(AccountEntity)
      .find({ where: { siteId: this.scope.siteId }, order: { login: 'ASC' } });
    return found.map(({ accountId, siteId, personId, role, login, unitIds }) => ({
      accountId,
      siteId,
      personId,
      role,
      login,
      unitIds,
    }));
  }

  async insertAccount(account: AccountRecord & { readonly passwordHash: string | null }): Promise<void> {
    const { accountId, personId, role, unitIds, passwordHash } = account;
    const { siteId } = this.scope;
    const login = normaliseLogin(account.login);
    await this.scope.insert(AccountEntity, {
      siteId,
      accountId,
      personId,
      role,
      login,
      unitIds: [...unitIds],
      passwordHash,
    });
    await this.scope.insert(AccountLoginEntity, { login, siteId, accountId });
  }

  async insert(site: SiteRecord): Promise<void> {
    await this.scope.insert(SiteEntity, { ...site, settings: site.settings as object });
    await this.scope.insert(SiteKeyEntity, {
      siteId: site.siteId,
      wrapped: this.scope.wrapSiteKey(SealingKey.create()),
    });
  }

  async insertUnit(unit: UnitRecord): Promise<void> {
    await this.scope.insert(UnitEntity, { siteId: this.scope.siteId, ...unit });
  }
}

/** Somebody who types a capital or a space still has the same account. */
export function normaliseLogin(login: string): string {
  return login.normalize('NFKC').trim().toLowerCase();
}
