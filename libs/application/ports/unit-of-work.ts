import type { Instant, LocalDate, PermittedWork } from '#domain';
import type {
  AccountRecord,
  Actor,
  LocalConfirmation,
  PersonIdentity,
  PersonRecord,
  SiteRecord,
  SiteSettings,
  UnitRecord,
} from '../records/people.js';
import type {
  AssessmentRecord,
  DeterminationRecord,
  IncidentRecord,
  IncidentState,
  SourceRecord,
  SourceStatusRecord,
  TellingRecord,
} from '../records/incident.js';
import type {
  AlertOutcome,
  AlertRecord,
  CheckRecord,
  DueCheck,
  DutyStatusRecord,
  LetterRecord,
  OutboxMessage,
  PlanRecord,
  PpeUseRecord,
  ReadingRecord,
} from '../records/followup.js';

/** One business operation, one transaction. The actor's site and role are set in it before anything is read. */
export abstract class UnitOfWork {
  abstract run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T>;
}

/** What a transaction offers. `now` is the database's time, read once: nothing else asks for business time. */
export interface Transaction {
  readonly now: Instant;
  readonly site: SiteStore;
  readonly people: PersonStore;
  readonly incidents: IncidentStore;
  readonly plans: PlanStore;
  readonly alerts: AlertStore;
  readonly dutyStatuses: DutyStatusStore;
  readonly sources: SourceStore;
  readonly letters: LetterStore;
  readonly insight: InsightStore;
  readonly replays: ReplayStore;
  readonly ledger: Ledger;
  readonly outbox: OutboxStore;
  /** Wakes the worker once this transaction is committed. A lost wake-up only delays: the sweeper covers it. */
  wake(job: 'sweep-due' | 'send-notices'): Promise<void>;
}

export interface SiteStore {
  read(): Promise<SiteRecord>;
  units(): Promise<UnitRecord[]>;
  confirmations(): Promise<LocalConfirmation[]>;
  changeSettings(settings: SiteSettings): Promise<void>;
  confirm(confirmation: LocalConfirmation): Promise<void>;
  accounts(): Promise<AccountRecord[]>;
  insertAccount(account: AccountRecord & { readonly passwordHash: string | null }): Promise<void>;
  insertUnit(unit: UnitRecord): Promise<void>;
  /** The first row of a new site, by the administrator who sets it up; brings the site's index key with it. */
  insert(site: SiteRecord): Promise<void>;
}

export interface PersonStore {
  find(personId: string): Promise<PersonRecord | null>;
  /** One statement for a whole page; who is absent is not in the map. */
  findAll(personIds: readonly string[]): Promise<Map<string, PersonRecord>>;
  /** Exact match through a keyed hash; people are never listed to a reporter. */
  findByStaffNumber(staffNumber: string): Promise<PersonRecord | null>;
  list(): Promise<PersonRecord[]>;
  /** Opens the sealed identity; every call is an identified read and belongs in the ledger. */
  identities(personIds: readonly string[]): Promise<Map<string, PersonIdentity>>;
  insert(person: PersonRecord, identity: PersonIdentity): Promise<void>;
}

/** Everything that an accepted report writes, stored by one statement or not at all. */
export interface AcceptedReport {
  readonly incident: IncidentRecord;
  readonly telling: TellingRecord;
  readonly assessment: AssessmentRecord;
  readonly plan: PlanRecord | null;
  readonly dutyStatus: DutyStatusRecord | null;
  readonly alerts: readonly AlertRecord[];
  readonly outbox: readonly OutboxMessage[];
  readonly ledger: readonly LedgerEntry[];
  readonly replay: Replay | null;
}

export interface IncidentFilter {
  readonly state?: IncidentState;
  readonly personId?: string;
  readonly eventId?: string;
  readonly sourceId?: string;
  /** Opaque; from the page before. */
  readonly cursor?: string;
  readonly limit: number;
}

/**
 * Thrown by `accept` when the report id or the idempotency key is there already: a resend, perhaps of the same moment.
 * The transaction is over then; what was stored is read, and answered, in a new one.
 */
export class AlreadyStored extends Error {
  constructor(options?: { readonly cause?: unknown }) {
    super('This report is stored already.', options);
    this.name = 'AlreadyStored';
  }
}

/** What stands about an incident now: its newest assessment and, once there is one, its newest determination. */
export interface IncidentStanding {
  readonly assessment: AssessmentRecord;
  readonly determination: DeterminationRecord | null;
}

export interface IncidentStore {
  /** The permanent guard: the incident that this client-made report id already has, if any. */
  findByReportId(reportId: string): Promise<IncidentRecord | null>;
  /** Creates the event when its id is new. Throws `AlreadyStored`. */
  accept(report: AcceptedReport): Promise<void>;
  find(incidentId: string): Promise<IncidentRecord | null>;
  /** Locks the row until the end of the transaction, so that two changes cannot pass each other. */
  findForChange(incidentId: string): Promise<IncidentRecord | null>;
  list(filter: IncidentFilter): Promise<{ readonly items: IncidentRecord[]; readonly nextCursor: string | null }>;
  /** One statement for a whole page of incidents. */
  standings(incidentIds: readonly string[]): Promise<Map<string, IncidentStanding>>;
  tellings(incidentId: string): Promise<TellingRecord[]>;
  appendTelling(incident: IncidentRecord, telling: TellingRecord): Promise<void>;
  assessments(incidentId: string): Promise<AssessmentRecord[]>;
  appendAssessment(assessment: AssessmentRecord): Promise<void>;
  determinations(incidentId: string): Promise<DeterminationRecord[]>;
  appendDetermination(incident: IncidentRecord, determination: DeterminationRecord): Promise<void>;
  confirmIdentity(incidentId: string, at: Instant): Promise<void>;
  setState(incidentId: string, state: IncidentState): Promise<void>;
}

export interface ReleaseSignature {
  readonly by: string;
  readonly early: { readonly reason: string; readonly secondClinician: string } | null;
}

export interface PlanStore {
  find(planId: string): Promise<PlanRecord | null>;
  findForChange(planId: string): Promise<PlanRecord | null>;
  listByPerson(personId: string): Promise<PlanRecord[]>;
  findByIncident(incidentId: string): Promise<PlanRecord | null>;
  running(): Promise<PlanRecord[]>;
  checks(planId: string): Promise<CheckRecord[]>;
  /** One statement for a whole page of plans. */
  checksOf(planIds: readonly string[]): Promise<Map<string, CheckRecord[]>>;
  insert(plan: PlanRecord): Promise<void>;
  /** Checks that the new plan no longer holds become `withdrawn`; what is done stays done. */
  replace(plan: PlanRecord): Promise<void>;
  /** Who signed, and why before the window's end: the reason is kept sealed. */
  release(planId: string, at: Instant, signature: ReleaseSignature): Promise<void>;
  readings(planId: string): Promise<ReadingRecord[]>;
  insertReading(reading: ReadingRecord): Promise<void>;
  completeCheck(planId: string, checkKey: string, at: Instant, readingId: string | null): Promise<void>;
  findCheck(planId: string, checkKey: string): Promise<CheckRecord | null>;
}

export interface AlertFilter {
  readonly open?: boolean;
  readonly incidentId?: string;
  readonly personId?: string;
}

export interface AlertStore {
  /** Returns false when the alert's key was raised before. */
  raise(alert: AlertRecord): Promise<boolean>;
  find(alertId: string): Promise<AlertRecord | null>;
  findForChange(alertId: string): Promise<AlertRecord | null>;
  list(filter: AlertFilter): Promise<AlertRecord[]>;
  acknowledge(alertId: string, by: string, at: Instant, pausedUntil: Instant): Promise<void>;
  close(alertId: string, by: string, at: Instant, outcome: AlertOutcome, decided: string): Promise<void>;
}

export interface DutyStatusStore {
  /** Under the manager's role only the rows of the manager's units exist; under infection control's none. */
  list(): Promise<DutyStatusRecord[]>;
  /** How many people stand under each kind of work: all that infection control sees. */
  counts(): Promise<{ readonly work: PermittedWork; readonly people: number }[]>;
  set(status: DutyStatusRecord): Promise<void>;
  clear(personId: string): Promise<void>;
  /** The names that a manager may put beside the roster references of the own team. */
  names(personIds: readonly string[]): Promise<Map<string, string>>;
}

export interface SourceStore {
  find(sourceId: string): Promise<SourceRecord | null>;
  list(): Promise<SourceRecord[]>;
  findByPseudonym(pseudonym: string): Promise<SourceRecord | null>;
  insert(sourceId: string, pseudonym: string): Promise<void>;
  appendStatus(sourceId: string, status: SourceStatusRecord): Promise<void>;
}

export interface LetterStore {
  find(letterId: string): Promise<LetterRecord | null>;
  listByIncident(incidentId: string): Promise<LetterRecord[]>;
  /** The bytes as they were signed; null while unsigned. */
  signedPdf(letterId: string): Promise<Uint8Array | null>;
  insert(letter: LetterRecord): Promise<void>;
  sign(letterId: string, by: string, at: Instant, pdf: Uint8Array): Promise<void>;
}

/** Counts only; nobody's incident can be read through this. */
export interface InsightCounts {
  readonly from: LocalDate;
  readonly until: LocalDate;
  readonly events: number;
  readonly incidents: number;
  readonly nearMisses: number;
  readonly uses: number;
  readonly byLayer: readonly { readonly layer: string; readonly partial: number; readonly total: number }[];
  readonly byStage: readonly { readonly stage: string; readonly count: number }[];
  readonly byStep: readonly { readonly step: string; readonly count: number }[];
  readonly byUnit: readonly { readonly unitId: string; readonly events: number; readonly uses: number }[];
  readonly byMonth: readonly { readonly month: string; readonly events: number; readonly uses: number }[];
}

export interface InsightStore {
  count(from: LocalDate, until: LocalDate): Promise<InsightCounts>;
  recordUses(uses: readonly PpeUseRecord[]): Promise<void>;
}

/** A stored answer to an idempotency key, replayed for a retry with the same body. */
export interface Replay {
  readonly principal: string;
  readonly route: string;
  readonly key: string;
  readonly fingerprint: string;
  readonly status: number;
  readonly body: unknown;
  readonly etag: string | null;
}

export interface ReplayStore {
  find(principal: string, route: string, key: string): Promise<Replay | null>;
  insert(replay: Replay): Promise<void>;
}

/** Ids and verbs, no clinical value: who did or read what, about whom, when. */
export interface LedgerEntry {
  readonly action: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly personId: string | null;
  readonly detail: Readonly<Record<string, string | number | boolean>>;
}

export interface Ledger {
  append(entry: LedgerEntry): Promise<void>;
  /** In this order, with one statement: a page of identified reads is one line a person. */
  appendAll(entries: readonly LedgerEntry[]): Promise<void>;
}

export interface OutboxStore {
  insert(message: OutboxMessage): Promise<void>;
}

/** What the worker reads across sites: ids and times, nothing else. */
export abstract class DueIndex {
  abstract due(limit: number): Promise<DueCheck[]>;
  /** Leases messages to one sender at a time; a lease that runs out is taken over, and the late sender's mark is refused. */
  abstract leaseMessages(limit: number): Promise<(OutboxMessage & { readonly lease: string })[]>;
  abstract markSent(message: OutboxMessage & { readonly lease: string }): Promise<boolean>;
  abstract markFailed(message: OutboxMessage & { readonly lease: string }, error: string): Promise<void>;
}
