import type { Transaction } from '../ports/unit-of-work.js';
import type { LocalConfirmation, PersonRecord, SiteRecord, UnitRecord } from '../records/people.js';

export interface KnownSite {
  readonly site: SiteRecord;
  readonly units: ReadonlyMap<string, UnitRecord>;
  readonly confirmations: readonly LocalConfirmation[];
}

interface Kept<T> {
  readonly value: T;
  readonly until: number;
}

/** More people than report within a few seconds; then the memory is emptied, never grown. */
const MOST_PEOPLE = 10_000;

/**
 * What reporting needs of a site and hardly ever changes, kept for a few seconds so that a report reads nothing. A change
 * made through this process is seen at once; one made elsewhere, when the lifetime is over.
 */
export class SiteKnowledge {
  private readonly sites = new Map<string, Kept<KnownSite>>();
  private readonly people = new Map<string, Kept<PersonRecord>>();

  /** `elapsed` is a monotonic count of milliseconds: the lifetime is no business time. */
  constructor(
    private readonly lifetimeMilliseconds = 5_000,
    private readonly elapsed: () => number = () => performance.now(),
  ) {}

  async read(tx: Transaction, siteId: string): Promise<KnownSite> {
    const known = this.fresh(this.sites.get(siteId));
    if (known) return known;
    const site = await tx.site.read();
    const units = await tx.site.units();
    const confirmations = await tx.site.confirmations();
    const value = { site, units: new Map(units.map((unit) => [unit.unitId, unit])), confirmations };
    this.sites.set(siteId, this.keep(value));
    return value;
  }

  async person(tx: Transaction, siteId: string, personId: string): Promise<PersonRecord | null> {
    const key = `${siteId}/${personId}`;
    const known = this.fresh(this.people.get(key));
    if (known) return known;
    const person = await tx.people.find(personId);
    // That somebody is absent is not kept: a person who was just entered can report at once.
    if (person === null) return null;
    if (this.people.size >= MOST_PEOPLE) this.people.clear();
    this.people.set(key, this.keep(person));
    return person;
  }

  forget(siteId: string): void {
    this.sites.delete(siteId);
  }

  private keep<T>(value: T): Kept<T> {
    return { value, until: this.elapsed() + this.lifetimeMilliseconds };
  }

  private fresh<T>(kept: Kept<T> | undefined): T | null {
    return kept !== undefined && kept.until > this.elapsed() ? kept.value : null;
  }
}
