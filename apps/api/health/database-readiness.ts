import type { SiteDirectory, UnitOfWork } from '#application';
import type { Durability, DurabilityFinding } from '#persistence';
import { Readiness, type ReadinessReport } from './readiness.js';

function told({ setting, value, wanted }: DurabilityFinding): string {
  return `${setting} is ${value}; it should be ${wanted}.`;
}

/** Some setting of the database would let an acknowledged report be lost. */
export class NotDurable extends Error {
  constructor(findings: readonly DurabilityFinding[]) {
    super(findings.map(told).join(' '));
    this.name = 'NotDurable';
  }
}

/** What is sealed in the database was sealed under another master key, so nobody could sign in. */
export class WrongMasterKey extends Error {
  constructor(cause: unknown) {
    super('The master key is not the one that this database was written with.', { cause });
    this.name = 'WrongMasterKey';
  }
}

/** What the database says of itself, asked anew each time. */
export class DatabaseReadiness extends Readiness {
  constructor(
    private readonly durability: Durability,
    private readonly sites: SiteDirectory,
    private readonly work: UnitOfWork,
  ) {
    super();
  }

  override async report(): Promise<ReadinessReport> {
    try {
      const findings = await this.durability.check();
      return {
        database: true,
        durability: Object.fromEntries(findings.map(({ setting, value }) => [setting, value])),
        warnings: findings.filter(({ ok }) => !ok).map(told),
      };
    } catch {
      return { database: false, durability: {}, warnings: ['The database does not answer.'] };
    }
  }

  /** Refuses a start on a database that could lose what it acknowledged, or that this master key does not open. */
  override async require(): Promise<void> {
    const failing = (await this.durability.check()).filter(({ ok, required }) => required && !ok);
    if (failing.length > 0) throw new NotDurable(failing);
    for (const { siteId } of await this.sites.list()) await this.requireKeyOf(siteId);
  }

  /** Whoever looks for a staff number needs the site's key, and the master key to open it. */
  private async requireKeyOf(siteId: string): Promise<void> {
    const nobody = { siteId, role: 'administrator', accountId: null, personId: null, unitIds: [] } as const;
    try {
      await this.work.run(nobody, (tx) => tx.people.findByStaffNumber('nobody'));
    } catch (error) {
      if (error instanceof Error && error.name === 'SealBroken') throw new WrongMasterKey(error);
      throw error;
    }
  }
}
