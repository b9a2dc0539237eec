import type { DataSource } from 'typeorm';
import type { CheckKind } from '#domain';
import { DueIndex, type DueCheck, type OutboxMessage } from '#application';
import { translateFailure } from './failures.js';

type Leased = OutboxMessage & { readonly lease: string };

/** Runs under the worker's role, across sites: its functions give ids, times and messages to send, nothing else. */
export class PostgresDueIndex extends DueIndex {
  constructor(
    private readonly source: DataSource,
    private readonly leaseSeconds = 60,
  ) {
    super();
  }

  async due(limit: number): Promise<DueCheck[]> {
    const rows = await this.#call<DueRow>('select * from due_checks($1)', [limit]);
    return rows.map(({ site_id, plan_id, check_key, kind, due_until }) => ({
      siteId: site_id,
      planId: plan_id,
      checkKey: check_key,
      kind,
      dueUntil: due_until.toISOString(),
    }));
  }

  async leaseMessages(limit: number): Promise<Leased[]> {
    const rows = await this.#call<MessageRow>('select * from lease_messages($1, make_interval(secs => $2))', [
      limit,
      this.leaseSeconds,
    ]);
    return rows.map(({ site_id, message_id, alert_id, recipient, subject, text, attempts, lease }) => ({
      siteId: site_id,
      messageId: message_id,
      alertId: alert_id,
      recipient,
      subject,
      text,
      attempts,
      lease,
    }));
  }

  markSent(message: Leased): Promise<boolean> {
    return this.#settle(message, null);
  }

  async markFailed(message: Leased, error: string): Promise<void> {
    await this.#settle(message, error);
  }

  /** Removes replays and sessions that are long past; returns how many. */
  async forgetExpired(limit: number): Promise<number> {
    const [row] = await this.#call<{ forgotten: number }>('select forget_expired($1) as forgotten', [limit]);
    return row?.forgotten ?? 0;
  }

  async #settle({ siteId, messageId, lease }: Leased, failure: string | null): Promise<boolean> {
    const [row] = await this.#call<{ settled: boolean }>('select settle_message($1, $2, $3, $4) as settled', [
      siteId,
      messageId,
      lease,
      failure,
    ]);
    return row?.settled ?? false;
  }

  async #call<Row>(text: string, values: unknown[]): Promise<Row[]> {
    try {
      return await this.source.query<Row[]>(text, values);
    } catch (error) {
      throw translateFailure(error);
    }
  }
}

interface DueRow {
  readonly site_id: string;
  readonly plan_id: string;
  readonly check_key: string;
  readonly kind: CheckKind;
  readonly due_until: Date;
}

interface MessageRow {
  readonly site_id: string;
  readonly message_id: string;
  readonly alert_id: string | null;
  readonly recipient: string;
  readonly subject: string;
  readonly text: string;
  readonly attempts: number;
  readonly lease: string;
}
