import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { v7 } from 'uuid';
import { aReport } from '../../api/support/reports.js';

/** A report that the service has confirmed, as the client keeps it in mind. */
export interface Acknowledged {
  readonly reportId: string;
  readonly incidentId: string;
  /** How often it was sent before an answer said that it is stored. */
  readonly sendings: number;
}

/** What the clients of a write loop have lived through. */
export interface WriteLoopRecord {
  readonly acknowledged: readonly Acknowledged[];
  /** Answers other than 200 and 201, and connections that broke, by what they were. */
  readonly troubles: ReadonlyMap<string, number>;
}

/** A client waits this long before it sends the same report again. */
const AGAIN_MS = 50;
/** A request that takes longer counts as lost: its outcome is unknown, and the same report is sent again. */
const PATIENCE_MS = 5_000;

export interface WriteLoopOptions {
  readonly address: string;
  /** One client for each session cookie. */
  readonly cookies: readonly string[];
}

/**
 * Clients that report one breach after the other, each with an id and a key of their own making, and send each again
 * until it is acknowledged. What they list as acknowledged is what must be found afterwards.
 */
export class WriteLoop {
  private readonly acknowledged: Acknowledged[] = [];
  private readonly troubles = new Map<string, number>();
  private readonly clients: Promise<void>[];
  private ending = false;

  constructor(private readonly options: WriteLoopOptions) {
    this.clients = options.cookies.map((cookie) => this.report(cookie));
  }

  get count(): number {
    return this.acknowledged.length;
  }

  /** Lets every client get its last report acknowledged. */
  async end(): Promise<WriteLoopRecord> {
    this.ending = true;
    await Promise.all(this.clients);
    return { acknowledged: this.acknowledged, troubles: this.troubles };
  }

  private async report(cookie: string): Promise<void> {
    while (!this.ending) {
      const reportId = v7();
      const body = JSON.stringify(aReport({ reportId }));
      const key = randomUUID();
      for (let sendings = 1; ; sendings += 1) {
        const incidentId = await this.send(cookie, key, body);
        if (incidentId !== null) {
          this.acknowledged.push({ reportId, incidentId, sendings });
          break;
        }
        await sleep(AGAIN_MS);
      }
    }
  }

  private async send(cookie: string, key: string, body: string): Promise<string | null> {
    try {
      const response = await fetch(`${this.options.address}/api/v1/incidents`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'idempotency-key': key, cookie },
        body,
        signal: AbortSignal.timeout(PATIENCE_MS),
      });
      const answer = (await response.json()) as { incidentId?: string };
      if ((response.status === 201 || response.status === 200) && answer.incidentId) return answer.incidentId;
      this.note(`answered ${response.status}`);
    } catch (error) {
      const cause = (error as Error).cause as NodeJS.ErrnoException | undefined;
      this.note(cause?.code ?? (error as Error).name);
    }
    return null;
  }

  private note(trouble: string): void {
    this.troubles.set(trouble, (this.troubles.get(trouble) ?? 0) + 1);
  }
}
