import type { Instant } from '#domain';
import { UnitOfWork, type Actor, type Transaction } from '#application';

/**
 * Lets use cases run at a moment of the past: the transaction's time is set, nothing else about them changes. What only
 * concerns the present is left out: mails that would have been sent long ago, answers kept for a client's repeat, wake-ups.
 * For the demo alone; the service takes its time from the database.
 */
export class BackdatedWork extends UnitOfWork {
  now: Instant;
  private open: { readonly actor: Actor; readonly tx: Transaction } | null = null;

  constructor(
    private readonly inner: UnitOfWork,
    now: Instant,
    /** Notices are written as well; for what is still running today. */
    private readonly notices = false,
  ) {
    super();
    this.now = now;
  }

  /** Several operations of one actor in one transaction, which is quicker by far than one each. */
  together<T>(actor: Actor, operations: () => Promise<T>): Promise<T> {
    return this.inner.run(actor, async (tx) => {
      this.open = { actor, tx };
      try {
        return await operations();
      } finally {
        this.open = null;
      }
    });
  }

  override run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    if (this.open?.actor === actor) return work(this.at(this.open.tx));
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
