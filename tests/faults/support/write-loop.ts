import { randomInt, randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { v7 } from 'uuid';
import { aReport } from '../../api/support/reports.js';

/** A report that the service has confirmed, with what its answer promises to be stored. */
export interface Acknowledged {
  readonly reportId: string;
  readonly incidentId: string;
  readonly key: string;
  readonly planId: string | null;
  readonly parts: {
    readonly breaches: number;
    readonly plans: number;
    readonly checks: number;
    /** The reporter asks to be called. */
    readonly callBacks: number;
  };
  /** How often it was sent before an answer said that it is stored. */
  readonly sendings: number;
}

/** What the clients of a write loop have lived through. */
export interface WriteLoopRecord {
  readonly acknowledged: readonly Acknowledged[];
  /** Answers other than 200 and 201, and connections that broke: how often each. */
  readonly troubles: Readonly<Record<string, number>>;
}

export interface WriteLoopOptions {
  readonly address: string;
  /** One client for each session cookie. */
  readonly cookies: readonly string[];
}

/** A person looks at the answer for a moment; here it leaves the machine some time for the rest. */
const BETWEEN_REPORTS_MS = 30;
/** Up to this long before the same report is sent again. */
const AGAIN_MS = 300;
/** Answers after which the same request can succeed: in progress, a fault, the database away. */
const AGAIN: ReadonlySet<number> = new Set([409, 500, 502, 503]);
/** A request that takes longer counts as lost: its outcome is unknown, and the same report is sent again. */
const PATIENCE_MS = 5_000;

interface Answer {
  /** Of a problem. */
  readonly type?: string;
  readonly incidentId?: string;
  readonly plan?: { readonly planId: string; readonly checks: readonly unknown[] } | null;
}

/**
 * Clients that report one breach or near miss after the other, each with an id and a key of their own making, and send
 * each again until it is acknowledged. What they list as acknowledged is what must be found afterwards, and nothing else.
 */
export class WriteLoop {
  private readonly list: Acknowledged[] = [];
  private readonly troubles: Record<string, number> = {};
  private readonly clients: Promise<void>[];
  private latestBegin = 0;
  private refusal: string | null = null;
  private ending = false;
  private abandoned = false;

  constructor(private readonly options: WriteLoopOptions) {
    this.clients = options.cookies.map((cookie) => this.report(cookie));
  }

  get acknowledged(): readonly Acknowledged[] {
    return this.list;
  }

  /** Whether a request that began after this moment (`performance.now()`) has been acknowledged. */
  answersSince(moment: number): boolean {
    if (this.refusal !== null) throw new Error(`A report was refused: ${this.refusal}`);
    return this.latestBegin > moment;
  }

  /** Lets every client get its last report acknowledged. */
  async end(): Promise<WriteLoopRecord> {
    this.ending = true;
    await Promise.all(this.clients);
    return { acknowledged: this.list, troubles: this.troubles };
  }

  /** Sends nothing more, whatever is not acknowledged yet. */
  abandon(): void {
    this.ending = true;
    this.abandoned = true;
  }

  private async report(cookie: string): Promise<void> {
    while (!this.ending) {
      const nearMiss = randomInt(3) > 0;
      const report = aReport({
        reportId: v7(),
        ...(nearMiss ? { kind: 'near-miss', breaches: [], callMe: false } : {}),
      });
      const body = JSON.stringify(report);
      const key = randomUUID();
      for (let sendings = 1; !this.abandoned; sendings += 1) {
        const begun = performance.now();
        const answer = await this.send(cookie, key, body);
        if (answer) {
          this.latestBegin = Math.max(this.latestBegin, begun);
          this.list.push({
            reportId: String(report['reportId']),
            incidentId: answer.incidentId,
            key,
            planId: answer.plan?.planId ?? null,
            parts: {
              breaches: (report['breaches'] as unknown[]).length,
              plans: answer.plan ? 1 : 0,
              checks: answer.plan?.checks.length ?? 0,
              callBacks: report['callMe'] === true ? 1 : 0,
            },
            sendings,
          });
          break;
        }
        await sleep(randomInt(AGAIN_MS));
      }
      await sleep(randomInt(2 * BETWEEN_REPORTS_MS));
    }
  }

  private async send(cookie: string, key: string, body: string): Promise<(Answer & { incidentId: string }) | null> {
    try {
      const response = await fetch(`${this.options.address}/api/v1/incidents`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'idempotency-key': key, cookie },
        body,
        signal: AbortSignal.timeout(PATIENCE_MS),
      });
      const answer = (await response.json()) as Answer;
      const { incidentId, plan } = answer;
      if ((response.status === 201 || response.status === 200) && incidentId) return { incidentId, plan: plan ?? null };
      this.note(`${response.status} ${(answer.type ?? '').replace('/problems/', '')}`);
      if (!AGAIN.has(response.status)) this.refusal = JSON.stringify({ status: response.status, answer });
    } catch (error) {
      const { cause, name } = error as { cause?: { code?: string }; name: string };
      this.note(cause?.code ?? name);
    }
    return null;
  }

  private note(trouble: string): void {
    this.troubles[trouble] = (this.troubles[trouble] ?? 0) + 1;
  }
}
