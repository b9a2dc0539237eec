import { setTimeout as sleep } from 'node:timers/promises';
import type { DataSource } from 'typeorm';
import { UnitOfWork, type Actor, type Transaction } from '#application';
import { isWorthAnotherTry, translateFailure } from '../failures.js';
import type { WakeUps } from '../jobs/wake-ups.js';
import { rowMaker, type RowOf } from '../mappers/rows.js';
import type { SealingKey } from '../sealing/envelope.js';
import { PostgresAlertStore } from '../stores/alert-store.js';
import { PostgresDutyStatusStore } from '../stores/duty-status-store.js';
import { PostgresIncidentStore } from '../stores/incident-store.js';
import { PostgresInsightStore } from '../stores/insight-store.js';
import { PostgresLedger, PostgresOutboxStore } from '../stores/ledger-store.js';
import { PostgresLetterStore } from '../stores/letter-store.js';
import { PostgresPersonStore } from '../stores/person-store.js';
import { PostgresPlanStore } from '../stores/plan-store.js';
import { PostgresReplayStore } from '../stores/replay-store.js';
import { PostgresSiteStore } from '../stores/site-store.js';
import { PostgresSourceStore } from '../stores/source-store.js';
import { enter } from './enter.js';
import { Scope, type SiteKeys } from './scope.js';

const ATTEMPTS = 5;

/**
 * One business operation, one transaction on one connection, with the actor's context set before anything is read. The
 * stores exist only inside it: there is no other way to a row. The work is run again when two transactions wanted the same
 * at once, so it must do nothing outside the transaction.
 */
export class PostgresUnitOfWork extends UnitOfWork {
  readonly #row: RowOf;
  readonly #siteKeys: SiteKeys = new Map();

  constructor(
    private readonly source: DataSource,
    private readonly masterKey: SealingKey,
    private readonly wakeUps: WakeUps,
  ) {
    super();
    this.#row = rowMaker(source);
  }

  async run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await this.#once(actor, work);
      } catch (error) {
        if (attempt === ATTEMPTS || !isWorthAnotherTry(error)) throw translateFailure(error);
        // Apart from each other, or the same two meet again.
        await sleep(Math.random() * 10 * 2 ** attempt);
      }
    }
  }

  async #once<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    const runner = this.source.createQueryRunner();
    try {
      await runner.startTransaction();
      const now = await enter(runner, actor);
      const scope = new Scope(runner, actor, now, this.masterKey, this.#siteKeys);
      const result = await work(this.#transaction(scope));
      await runner.commitTransaction();
      return result;
    } catch (error) {
      // On a broken connection there is nothing to roll back, and the first error says more than the second.
      if (runner.isTransactionActive) await runner.rollbackTransaction().catch(() => undefined);
      throw error;
    } finally {
      await runner.release();
    }
  }

  #transaction(scope: Scope): Transaction {
    return {
      now: scope.now,
      site: new PostgresSiteStore(scope),
      people: new PostgresPersonStore(scope),
      incidents: new PostgresIncidentStore(scope, this.#row),
      plans: new PostgresPlanStore(scope),
      alerts: new PostgresAlertStore(scope),
      dutyStatuses: new PostgresDutyStatusStore(scope),
      sources: new PostgresSourceStore(scope),
      letters: new PostgresLetterStore(scope),
      insight: new PostgresInsightStore(scope),
      replays: new PostgresReplayStore(scope),
      ledger: new PostgresLedger(scope),
      outbox: new PostgresOutboxStore(scope),
      wake: (job) => this.wakeUps.send(scope.runner, job),
    };
  }
}
