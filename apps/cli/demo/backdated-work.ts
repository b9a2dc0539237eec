import type { Instant } from '#domain';
import {
  UnitOfWork,
  type Actor,
  type CheckRecord,
  type LedgerEntry,
  type PlanStore,
  type ReadingRecord,
  type Transaction,
} from '#application';

/**
 * Lets use cases run at a moment of the past: the transaction's time is set, nothing else about them changes. What only
 * concerns the present is left out: mails that would have been sent long ago, answers kept for a client's repeat, wake-ups.
 * For the demo alone; the service takes its time from the database.
 */
export class BackdatedWork extends UnitOfWork {
  now: Instant;
  private open: { readonly actor: Actor; readonly tx: Transaction; readonly batch: Batch } | null = null;

  constructor(
    private readonly inner: UnitOfWork,
    now: Instant,
    /** Notices are written as well; for what is still running today. */
    private readonly notices = false,
  ) {
    super();
    this.now = now;
  }

  /**
   * Several operations of one actor in one transaction, which is quicker by far than one each. Nobody else may change the
   * plans that they are about meanwhile: what was read of them once is not read again.
   */
  together<T>(actor: Actor, operations: () => Promise<T>): Promise<T> {
    return this.inner.run(actor, async (tx) => {
      const batch = new Batch(tx);
      this.open = { actor, tx, batch };
      try {
        const result = await operations();
        await batch.writeLedger();
        return result;
      } finally {
        this.open = null;
      }
    });
  }

  override run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    if (this.open?.actor === actor) return work({ ...this.at(this.open.tx), ...this.open.batch.stores });
    return this.inner.run(actor, (tx) => work(this.at(tx)));
  }

  private at(tx: Transaction): Transaction {
    const { incidents } = tx;
    return {
      ...tx,
      now: this.now,
      incidents: override(incidents, {
        accept: (report) => incidents.accept({ ...report, replay: null, outbox: this.notices ? report.outbox : [] }),
      }),
      replays: { find: () => Promise.resolve(null), insert: () => Promise.resolve() },
      outbox: this.notices ? tx.outbox : override(tx.outbox, { insert: () => Promise.resolve() }),
      wake: () => Promise.resolve(),
    };
  }
}

/** What operations of one transaction share: plans read once, and the ledger written in one go at the end. */
class Batch {
  readonly stores: Pick<Transaction, 'plans' | 'site' | 'ledger'>;
  private readonly read = new Map<string, Promise<unknown>>();
  private readonly entries: LedgerEntry[] = [];

  constructor(private readonly tx: Transaction) {
    const { plans, site } = tx;
    const forget = () => this.read.clear();
    this.stores = {
      site: override(site, {
        read: () => this.once('site', () => site.read()),
        units: () => this.once('units', () => site.units()),
      }),
      plans: override<PlanStore>(plans, {
        find: (planId) => this.once(`plan/${planId}`, () => plans.find(planId)),
        findForChange: (planId) => this.once(`plan/${planId}`, () => plans.findForChange(planId)),
        listByPerson: (personId) => this.once(`person/${personId}`, () => plans.listByPerson(personId)),
        findCheck: async (planId, checkKey) => (await this.checksOf(planId)).get(checkKey) ?? null,
        completeCheck: async (planId, checkKey, doneAt, readingId) => {
          await plans.completeCheck(planId, checkKey, doneAt, readingId);
          const checks = await this.checksOf(planId);
          const check = checks.get(checkKey);
          if (check) checks.set(checkKey, { ...check, state: 'done', doneAt, readingId });
        },
        readings: (planId) => this.readingsOf(planId),
        insertReading: async (reading) => {
          await plans.insertReading(reading);
          (await this.readingsOf(reading.planId)).push(reading);
        },
        insert: (plan) => plans.insert(plan).finally(forget),
        replace: (plan) => plans.replace(plan).finally(forget),
        release: (...release) => plans.release(...release).finally(forget),
      }),
      ledger: {
        append: (entry) => Promise.resolve(void this.entries.push(entry)),
        appendAll: (entries) => Promise.resolve(void this.entries.push(...entries)),
      },
    };
  }

  async writeLedger(): Promise<void> {
    if (this.entries.length > 0) await this.tx.ledger.appendAll(this.entries);
  }

  private checksOf(planId: string): Promise<Map<string, CheckRecord>> {
    return this.once(
      `checks/${planId}`,
      async () => new Map((await this.tx.plans.checks(planId)).map((check) => [check.key, check])),
    );
  }

  /** In the order of their times, in which the demo takes them too. */
  private readingsOf(planId: string): Promise<ReadingRecord[]> {
    return this.once(`readings/${planId}`, () => this.tx.plans.readings(planId));
  }

  private once<T>(key: string, read: () => Promise<T>): Promise<T> {
    const known = this.read.get(key) as Promise<T> | undefined;
    if (known) return known;
    const reading = read();
    this.read.set(key, reading);
    return reading;
  }
}

/** A store with some of its methods replaced; the others stay bound to it. */
function override<Store extends object>(store: Store, methods: Partial<Store>): Store {
  return new Proxy(store, {
    get: (target, name) => {
      const replaced = methods[name as keyof Store];
      if (replaced !== undefined) return replaced;
      const value = Reflect.get(target, name, target) as unknown;
      return typeof value === 'function' ? (value.bind(target) as unknown) : value;
    },
  });
}
