import type { DueCheck, DueIndex, RaiseDueAlerts } from '#application';
import type { Log } from '#platform';

/** Read at once. What is left over is read in the next round of the same sweep. */
const BATCH = 500;

export interface SweptChecks {
  readonly raised: number;
  /** Sites whose transaction failed; their checks stay due and are read again. */
  readonly failed: number;
}

/**
 * Derives every alert that is due from the tables, one transaction a site. Two sweeps at the same moment find the same
 * checks, and the alert's key decides which of them raises it.
 */
export class SweepDue {
  constructor(
    private readonly due: DueIndex,
    private readonly raise: RaiseDueAlerts,
    private readonly log: Log,
  ) {}

  async execute(): Promise<SweptChecks> {
    const swept = { raised: 0, failed: 0 };
    for (;;) {
      const checks = await this.due.due(BATCH);
      let raisedNow = 0;
      for (const [siteId, ofSite] of bySite(checks)) {
        try {
          raisedNow += (await this.raise.execute({ siteId, checks: ofSite })).raised;
        } catch (error) {
          swept.failed += 1;
          this.log.error('sweep-failed', { siteId, count: ofSite.length, error });
        }
      }
      swept.raised += raisedNow;
      // A full batch of which nothing was raised would be read again just the same.
      if (checks.length < BATCH || raisedNow === 0) return swept;
    }
  }
}

function bySite(checks: readonly DueCheck[]): Map<string, DueCheck[]> {
  return Map.groupBy(checks, ({ siteId }) => siteId);
}
