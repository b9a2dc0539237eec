import { v7 } from 'uuid';
import { DEFAULT_READING_BANDS, requireTimeZone, type TimeZone } from '#domain';
import { ledgerEntry } from '../ledger-entries.js';
import type { PasswordHasher, SetupTokens, SiteDirectory } from '../ports/accounts.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor, SiteSettings } from '../records/people.js';
import { Conflict, SetupRefused, UnacceptableEntry } from '../refusals.js';
import { checkSettings } from './change-settings.js';
import { requirePassword } from './password-rule.js';

export interface SetUpSiteCommand {
  readonly token: string;
  readonly siteName: string;
  readonly timeZone: TimeZone;
  /** At least one; each begins with the rulebook's own ensemble. */
  readonly units: readonly string[];
  readonly emergency: SiteSettings['emergency'];
  readonly occupationalHealth: SiteSettings['occupationalHealth'];
  readonly onCallClinician?: SiteSettings['onCallClinician'];
  /** The first administrator. */
  readonly login: string;
  readonly password: string;
}

export interface SiteSetUp {
  readonly siteId: string;
  readonly accountId: string;
  readonly units: readonly { readonly unitId: string; readonly name: string }[];
}

/** Common practice, until the site sets its own. */
const GRACE_MINUTES = 60;
const PAUSE_MINUTES = 30;

/** Part of an address: lower-case letters and digits, joined by hyphens. */
function slugOf(name: string): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-');
  return plain.replaceAll(/^-+|-+$/g, '').slice(0, 60) || 'site';
}

function requireUnits(units: readonly string[]): void {
  const names = units.map((name) => name.trim());
  if (names.length === 0 || names.includes('') || new Set(names).size < names.length) {
    throw new UnacceptableEntry('The units cannot be used.', {
      pointer: '/units',
      accepted: 'one name or more, each another',
    });
  }
}

/** The first site of a new installation with its first administrator: for whoever holds the one-time token. */
export class SetUpSite {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly directory: SiteDirectory,
    private readonly tokens: SetupTokens,
    private readonly hasher: PasswordHasher,
  ) {}

  /** Whether nobody has set this installation up yet. */
  async isNeeded(): Promise<boolean> {
    return (await this.directory.list()).length === 0;
  }

  async execute(command: SetUpSiteCommand): Promise<SiteSetUp> {
    const timeZone = requireTimeZone(command.timeZone, '/timeZone');
    requireUnits(command.units);
    requirePassword(command.password, '/password');
    const settings: SiteSettings = {
      emergency: command.emergency,
      occupationalHealth: command.occupationalHealth,
      onCallClinician: command.onCallClinician ?? null,
      readingBands: DEFAULT_READING_BANDS,
      readingGraceMinutes: GRACE_MINUTES,
      acknowledgementPauseMinutes: PAUSE_MINUTES,
      // None of its own: the rulebook's rules apply, and go on applying when a new version of it has better ones.
      governing: [],
    };
    checkSettings(settings, this.rulebook);
    const claim = await this.tokens.claim(command.token);
    if (claim === null) throw new SetupRefused();
    try {
      if (!(await this.isNeeded())) throw new Conflict('This installation is set up already.');
      const made = await this.make(command, timeZone, settings);
      await claim.settle();
      return made;
    } catch (error) {
      await claim.release();
      throw error;
    }
  }

  private async make(command: SetUpSiteCommand, timeZone: TimeZone, settings: SiteSettings): Promise<SiteSetUp> {
    const passwordHash = await this.hasher.hash(command.password);
    const [ensemble] = this.rulebook.ensembles();
    if (!ensemble) throw new TypeError('The rulebook has no ensemble.');
    const [siteId, accountId] = [v7(), v7()];
    const units = command.units.map((name) => ({ unitId: v7(), name: name.trim() }));
    const actor: Actor = { siteId, role: 'administrator', accountId, personId: null, unitIds: [] };
    await this.work.run(actor, async (tx) => {
      const name = command.siteName.trim();
      await tx.site.insert({ siteId, slug: slugOf(name), name, timeZone, settings });
      for (const unit of units) {
        await tx.site.insertUnit({ ...unit, ensembleId: ensemble.id, ensembleVersion: ensemble.version });
      }
      await tx.site.insertAccount({
        accountId,
        siteId,
        personId: null,
        role: 'administrator',
        login: command.login,
        unitIds: [],
        passwordHash,
      });
      await tx.ledger.append(ledgerEntry('site.set-up', { kind: 'site', id: siteId }));
    });
    return { siteId, accountId, units };
  }
}
