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

/** What the database says of itself, asked anew each time. */
export class DatabaseReadiness extends Readiness {
  constructor(private readonly durability: Durability) {
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

  /** Refuses a start on a database that could lose what it acknowledged. */
  override async require(): Promise<void> {
    const failing = (await this.durability.check()).filter(({ ok, required }) => required && !ok);
    if (failing.length > 0) throw new NotDurable(failing);
  }
}
