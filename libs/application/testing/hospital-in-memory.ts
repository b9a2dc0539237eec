import type { Instant, LocalDate } from '#domain';
import {
  AlreadyStored,
  UnitOfWork,
  type AcceptedReport,
  type AlertFilter,
  type IncidentFilter,
  type IncidentStanding,
  type InsightCounts,
  type LedgerEntry,
  type ReleaseSignature,
  type Replay,
  type Transaction,
} from '../ports/unit-of-work.js';
import type {
  AlertRecord,
  CheckRecord,
  DutyStatusRecord,
  LetterRecord,
  OutboxMessage,
  PlanRecord,
  ReadingRecord,
} from '../records/followup.js';
import type {
  AssessmentRecord,
  DeterminationRecord,
  IncidentRecord,
  SourceRecord,
  TellingRecord,
} from '../records/incident.js';
import type {
  AccountRecord,
  Actor,
  LocalConfirmation,
  PersonIdentity,
  PersonRecord,
  SiteRecord,
  UnitRecord,
} from '../records/people.js';

/** Everything that one site has stored. */
export interface Stored {
  site: SiteRecord;
  units: UnitRecord[];
  confirmations: LocalConfirmation[];
  accounts: (AccountRecord & { readonly passwordHash: string | null })[];
  people: Map<string, PersonRecord>;
  identities: Map<string, PersonIdentity>;
  incidents: Map<string, IncidentRecord>;
  tellings: TellingRecord[];
  assessments: AssessmentRecord[];
  determinations: DeterminationRecord[];
  plans: Map<string, PlanRecord>;
  checks: CheckRecord[];
  readings: ReadingRecord[];
  releases: Map<string, ReleaseSignature>;
  alerts: Map<string, AlertRecord>;
  decisions: Map<string, string>;
  dutyStatuses: Map<string, DutyStatusRecord>;
  sources: Map<string, SourceRecord>;
  letters: Map<string, LetterRecord>;
  pdfs: Map<string, Uint8Array>;
  replays: Replay[];
  ledger: LedgerEntry[];
  outbox: OutboxMessage[];
  woken: string[];
}

/**
 * One site in memory behind the ports, for specs of use cases. Transactions run one after the other, and one that throws
 * leaves nothing behind. It holds no rule of its own: what a role may not do has to be refused by the use case.
 */
export class HospitalInMemory extends UnitOfWork {
  now: Instant;
  /** How many transactions have begun. */
  begun = 0;
  /** Called before a transaction commits; a throw loses it. */
  beforeCommit: () => void = () => undefined;
  /** Called after a transaction committed; a throw is an answer that never arrives. */
  afterCommit: () => void = () => undefined;
  readonly reads: string[] = [];
  private last: Promise<unknown> = Promise.resolve();

  constructor(
    public stored: Stored,
    now: Instant,
  ) {
    super();
    this.now = now;
  }

  override run<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    const turn = this.last.then(() => this.transaction(actor, work));
    this.last = turn.catch(() => undefined);
    return turn;
  }

  private async transaction<T>(actor: Actor, work: (tx: Transaction) => Promise<T>): Promise<T> {
    this.begun += 1;
    if (actor.siteId !== this.stored.site.siteId) throw new TypeError('Another site than this one.');
    const before = structuredClone(this.stored);
    let result: T;
    try {
      result = await work(this.open());
      this.beforeCommit();
    } catch (error) {
      this.stored = before;
      throw error;
    }
    this.afterCommit();
    return result;
  }

  private open(): Transaction {
    const { stored, now, reads } = this;
    const noted = <T>(read: string, value: T): Promise<T> => {
      reads.push(read);
      return Promise.resolve(structuredClone(value));
    };
    const standingOf = (incidentId: string): IncidentStanding | null => {
      const assessment = stored.assessments.findLast((one) => one.incidentId === incidentId);
      const determination = stored.determinations.findLast((one) => one.incidentId === incidentId) ?? null;
      return assessment ? { assessment, determination } : null;
    };
    const isThere = ({ principal, route, key }: Replay) =>
      stored.replays.some((one) => one.principal === principal && one.route === route && one.key === key);
    const accept = async (report: AcceptedReport) => {
      const { replay } = report;
      const resent = [...stored.incidents.values()].some(({ reportId }) => reportId === report.incident.reportId);
      const repeated = replay !== null && isThere(replay);
      if (resent || repeated) throw new AlreadyStored();
      stored.incidents.set(report.incident.incidentId, report.incident);
      stored.tellings.push(report.telling);
      stored.assessments.push(report.assessment);
      if (report.plan) await plans.insert(report.plan);
      if (report.dutyStatus) stored.dutyStatuses.set(report.dutyStatus.personId, report.dutyStatus);
      for (const alert of report.alerts) stored.alerts.set(alert.alertId, alert);
      stored.outbox.push(...report.outbox);
      stored.ledger.push(...report.ledger);
      if (replay) stored.replays.push(structuredClone(replay));
    };
    // As in the database, a plan is read with the checks that stand.
    const standing = (plan: PlanRecord): PlanRecord => {
      const checks = stored.checks
        .filter(({ planId, state }) => planId === plan.planId && state !== 'withdrawn')
        .map(({ planId: _plan, state: _state, doneAt: _done, readingId: _reading, ...check }) => check);
      return { ...plan, plan: { ...plan.plan, checks } };
    };
    const planned = () => [...stored.plans.values()].map(standing);
    const planWith = (planId: string) => planned().find((plan) => plan.planId === planId) ?? null;
    const plans: Transaction['plans'] = {
      find: (planId) => noted('plans.find', planWith(planId)),
      findForChange: (planId) => noted('plans.find', planWith(planId)),
      listByPerson: (personId) =>
        noted(
          'plans.listByPerson',
          planned().filter((plan) => plan.personId === personId),
        ),
      findByIncident: (incidentId) =>
        noted('plans.findByIncident', planned().find((plan) => plan.incidentId === incidentId) ?? null),
      running: () =>
        noted(
          'plans.running',
          planned().filter(({ state }) => state === 'running'),
        ),
      checks: (planId) =>
        noted(
          'plans.checks',
          stored.checks.filter((check) => check.planId === planId),
        ),
      checksOf: (planIds) =>
        noted(
          'plans.checksOf',
          Map.groupBy(
            stored.checks.filter(({ planId }) => planIds.includes(planId)),
            ({ planId }) => planId,
          ),
        ),
      insert: async (plan) => {
        stored.plans.set(plan.planId, plan);
        for (const check of plan.plan.checks) {
          stored.checks.push({ ...check, planId: plan.planId, state: 'due', doneAt: null, readingId: null });
        }
      },
      replace: async (plan) => {
        stored.plans.set(plan.planId, plan);
        const wanted = new Map(plan.plan.checks.map((check) => [check.key, check]));
        stored.checks = stored.checks.map((check): CheckRecord => {
          if (check.planId !== plan.planId) return check;
          const next = wanted.get(check.key);
          wanted.delete(check.key);
          if (check.state === 'done') return check;
          return next ? { ...check, ...next, state: 'due' } : { ...check, state: 'withdrawn' };
        });
        for (const check of wanted.values()) {
          stored.checks.push({ ...check, planId: plan.planId, state: 'due', doneAt: null, readingId: null });
        }
      },
      release: async (planId, at, signature) => {
        const plan = stored.plans.get(planId);
        if (plan) stored.plans.set(planId, { ...plan, state: 'released', releasedAt: at });
        stored.releases.set(planId, signature);
        stored.checks = stored.checks.map((check) =>
          check.planId === planId && check.state === 'due' ? { ...check, state: 'withdrawn' } : check,
        );
      },
      readings: (planId) =>
        noted(
          'plans.readings',
          stored.readings.filter((reading) => reading.planId === planId),
        ),
      insertReading: async (reading) => void stored.readings.push(reading),
      completeCheck: async (planId, checkKey, at, readingId) => {
        stored.checks = stored.checks.map((check) =>
          check.planId === planId && check.key === checkKey
            ? { ...check, state: 'done', doneAt: at, readingId }
            : check,
        );
      },
      findCheck: (planId, checkKey) =>
        noted(
          'plans.findCheck',
          stored.checks.find((check) => check.planId === planId && check.key === checkKey) ?? null,
        ),
    };
    const changeIncident = (incidentId: string, change: Partial<IncidentRecord>) => {
      const incident = stored.incidents.get(incidentId);
      if (incident) stored.incidents.set(incidentId, { ...incident, ...change });
    };
    const changeAlert = (alertId: string, change: Partial<AlertRecord>) => {
      const alert = stored.alerts.get(alertId);
      if (alert) stored.alerts.set(alertId, { ...alert, ...change });
    };
    return {
      now,
      site: {
        read: () => noted('site.read', stored.site),
        units: () => noted('site.units', stored.units),
        confirmations: () => noted('site.confirmations', stored.confirmations),
        changeSettings: async (settings) => void (stored.site = { ...stored.site, settings }),
        confirm: async (confirmation) => void stored.confirmations.push(confirmation),
        accounts: () =>
          noted(
            'site.accounts',
            stored.accounts.map(({ passwordHash: _, ...account }) => account),
          ),
        insertAccount: async (account) => void stored.accounts.push(account),
        insertUnit: async (unit) => void stored.units.push(unit),
        insert: async (site) => void (stored.site = site),
      },
      people: {
        find: (personId) => noted('people.find', stored.people.get(personId) ?? null),
        findAll: (personIds) =>
          noted('people.findAll', new Map([...stored.people].filter(([personId]) => personIds.includes(personId)))),
        findByStaffNumber: (staffNumber) => {
          const [personId = ''] = [...stored.identities].find(([, one]) => one.staffNumber === staffNumber) ?? [];
          return noted('people.findByStaffNumber', stored.people.get(personId) ?? null);
        },
        list: () => noted('people.list', [...stored.people.values()]),
        identities: (personIds) =>
          noted(
            'people.identities',
            new Map([...stored.identities].filter(([personId]) => personIds.includes(personId))),
          ),
        insert: async (person, identity) => {
          stored.people.set(person.personId, person);
          stored.identities.set(person.personId, identity);
        },
      },
      incidents: {
        findByReportId: (reportId) =>
          noted(
            'incidents.findByReportId',
            [...stored.incidents.values()].find((incident) => incident.reportId === reportId) ?? null,
          ),
        accept,
        find: (incidentId) => noted('incidents.find', stored.incidents.get(incidentId) ?? null),
        findForChange: (incidentId) => noted('incidents.find', stored.incidents.get(incidentId) ?? null),
        list: (filter) => noted('incidents.list', pageOf([...stored.incidents.values()], filter)),
        standings: (incidentIds) =>
          noted(
            'incidents.standings',
            new Map(
              incidentIds.flatMap((incidentId) => {
                const standing = standingOf(incidentId);
                return standing ? [[incidentId, standing] as const] : [];
              }),
            ),
          ),
        tellings: (incidentId) =>
          noted(
            'incidents.tellings',
            stored.tellings.filter((telling) => telling.incidentId === incidentId),
          ),
        appendTelling: async (incident, telling) => {
          stored.incidents.set(incident.incidentId, incident);
          stored.tellings.push(telling);
        },
        assessments: (incidentId) =>
          noted(
            'incidents.assessments',
            stored.assessments.filter((assessment) => assessment.incidentId === incidentId),
          ),
        appendAssessment: async (assessment) => void stored.assessments.push(assessment),
        determinations: (incidentId) =>
          noted(
            'incidents.determinations',
            stored.determinations.filter((determination) => determination.incidentId === incidentId),
          ),
        appendDetermination: async (incident, determination) => {
          stored.incidents.set(incident.incidentId, incident);
          stored.determinations.push(determination);
        },
        confirmIdentity: async (incidentId, at) => changeIncident(incidentId, { identityConfirmedAt: at }),
        setState: async (incidentId, state) => changeIncident(incidentId, { state }),
      },
      plans,
      alerts: {
        raise: async (alert) => {
          if ([...stored.alerts.values()].some(({ alertKey }) => alertKey === alert.alertKey)) return false;
          stored.alerts.set(alert.alertId, alert);
          return true;
        },
        find: (alertId) => noted('alerts.find', stored.alerts.get(alertId) ?? null),
        findForChange: (alertId) => noted('alerts.find', stored.alerts.get(alertId) ?? null),
        list: (filter) => noted('alerts.list', alertsOf([...stored.alerts.values()], filter)),
        acknowledge: async (alertId, by, at, pausedUntil) =>
          changeAlert(alertId, { acknowledgedBy: by, acknowledgedAt: at, pausedUntil }),
        close: async (alertId, by, at, outcome, decided) => {
          changeAlert(alertId, { closedBy: by, closedAt: at, outcome });
          stored.decisions.set(alertId, decided);
        },
      },
      dutyStatuses: {
        list: () => noted('dutyStatuses.list', [...stored.dutyStatuses.values()]),
        counts: () => {
          const counts = new Map<DutyStatusRecord['work'], number>();
          for (const { work } of stored.dutyStatuses.values()) counts.set(work, (counts.get(work) ?? 0) + 1);
          return noted(
            'dutyStatuses.counts',
            [...counts].map(([work, people]) => ({ work, people })),
          );
        },
        set: async (status) => void stored.dutyStatuses.set(status.personId, status),
        clear: async (personId) => void stored.dutyStatuses.delete(personId),
        names: (personIds) =>
          noted(
            'dutyStatuses.names',
            new Map(
              [...stored.identities]
                .filter(([personId]) => personIds.includes(personId))
                .map(([personId, { name }]) => [personId, name]),
            ),
          ),
      },
      sources: {
        find: (sourceId) => noted('sources.find', stored.sources.get(sourceId) ?? null),
        list: () => noted('sources.list', [...stored.sources.values()]),
        findByPseudonym: (pseudonym) =>
          noted(
            'sources.findByPseudonym',
            [...stored.sources.values()].find((source) => source.pseudonym === pseudonym) ?? null,
          ),
        insert: async (sourceId, pseudonym) => void stored.sources.set(sourceId, { sourceId, pseudonym, statuses: [] }),
        appendStatus: async (sourceId, status) => {
          const source = stored.sources.get(sourceId);
          if (source) stored.sources.set(sourceId, { ...source, statuses: [...source.statuses, status] });
        },
      },
      letters: {
        find: (letterId) => noted('letters.find', stored.letters.get(letterId) ?? null),
        listByIncident: (incidentId) =>
          noted(
            'letters.listByIncident',
            [...stored.letters.values()].filter((letter) => letter.incidentId === incidentId),
          ),
        signedPdf: (letterId) => noted('letters.signedPdf', stored.pdfs.get(letterId) ?? null),
        insert: async (letter) => void stored.letters.set(letter.letterId, letter),
        sign: async (letterId, by, at, pdf) => {
          const letter = stored.letters.get(letterId);
          if (letter) stored.letters.set(letterId, { ...letter, signedBy: by, signedAt: at });
          stored.pdfs.set(letterId, pdf);
        },
      },
      insight: {
        count: (from, until) => noted('insight.count', countsOf(stored, from, until)),
        recordUses: async () => undefined,
      },
      replays: {
        find: (principal, route, key) =>
          noted(
            'replays.find',
            stored.replays.find((one) => one.principal === principal && one.route === route && one.key === key) ?? null,
          ),
        insert: async (replay) => {
          if (isThere(replay)) throw new AlreadyStored();
          stored.replays.push(structuredClone(replay));
        },
      },
      ledger: {
        append: async (entry) => void stored.ledger.push(entry),
        appendAll: async (entries) => void stored.ledger.push(...entries),
      },
      outbox: { insert: async (message) => void stored.outbox.push(message) },
      wake: async (job) => void stored.woken.push(job),
    };
  }
}

function pageOf(
  incidents: readonly IncidentRecord[],
  { state, personId, eventId, sourceId, cursor, limit }: IncidentFilter,
): { items: IncidentRecord[]; nextCursor: string | null } {
  const matching = incidents.filter(
    (incident) =>
      (state === undefined || incident.state === state) &&
      (personId === undefined || incident.personId === personId) &&
      (eventId === undefined || incident.eventId === eventId) &&
      (sourceId === undefined || incident.sourceId === sourceId),
  );
  const begin = cursor === undefined ? 0 : Number(cursor);
  const end = begin + limit;
  return { items: matching.slice(begin, end), nextCursor: end < matching.length ? String(end) : null };
}

function alertsOf(alerts: readonly AlertRecord[], { open, incidentId, personId }: AlertFilter): AlertRecord[] {
  return alerts.filter(
    (alert) =>
      (open === undefined || open === (alert.closedAt === null)) &&
      (incidentId === undefined || alert.incidentId === incidentId) &&
      (personId === undefined || alert.personId === personId),
  );
}

function countsOf({ incidents }: Stored, from: LocalDate, until: LocalDate): InsightCounts {
  const within = [...incidents.values()].filter(({ content }) => {
    const day = content.occurred.until.slice(0, 10);
    return day >= from && day <= until;
  });
  return {
    from,
    until,
    events: new Set(within.map(({ eventId }) => eventId)).size,
    incidents: within.length,
    nearMisses: within.filter(({ content }) => content.kind === 'near-miss').length,
    uses: 0,
    byLayer: [],
    byStage: [],
    byStep: [],
    byUnit: [],
    byMonth: [],
  };
}
