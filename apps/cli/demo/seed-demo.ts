import { v7 } from 'uuid';
import {
  addDays,
  assess,
  ImpossibleCombination,
  NOT_CLASSIFIED,
  addHours,
  localDateOf,
  startOfDay,
  worstFirst,
  type Assessment,
  type Facts,
  type Instant,
} from '#domain';
import {
  AcknowledgeAlert,
  AmendIncident,
  ChangeSourceStatus,
  CloseAlert,
  CompleteCheck,
  ConfirmIdentity,
  ConfirmTable,
  CreatePerson,
  CreateSource,
  CredentialCheck,
  Determine,
  DraftLetter,
  RecordReading,
  ReleasePlan,
  ReportIncident,
  SetUpSite,
  SignLetter,
  SiteKnowledge,
  WindowOpen,
  type AccountDirectory,
  type Actor,
  type DetermineCommand,
  type AlertRecord,
  type AssessmentRecord,
  type IncidentState,
  type LetterWriter,
  PasswordHasher,
  type PlanView,
  type Rulebook,
  SetupTokens,
  type SetupClaim,
  type SiteDirectory,
  type UnitOfWork,
} from '#application';
import { BackdatedWork } from './backdated-work.js';
import { Chance } from './chance.js';
import {
  ADMINISTRATOR_LOGIN,
  HOSPITAL,
  MANAGED_UNITS,
  peopleOf,
  SIGN_INS,
  UNITS,
  type DemoPerson,
  type UnitName,
} from './hospital.js';
import { PUBLISHED } from './published-rates.js';
import { EPISODES, IDENTIFIED_DAYS_AGO, tellStory, type DemoCase, type Story } from './story.js';

export interface DemoPorts {
  readonly work: UnitOfWork;
  readonly directory: AccountDirectory;
  readonly sites: SiteDirectory;
  readonly hasher: PasswordHasher;
  readonly rulebook: Rulebook;
  readonly writer: LetterWriter;
}

export interface DemoOptions {
  readonly seed: string;
  readonly now: Instant;
  /** Of every sign-in. */
  readonly password: string;
}

export interface SeededDemo {
  readonly siteId: string;
  readonly people: number;
  readonly uses: number;
  readonly cases: number;
}

/** Set up as a person with the printed link would do it; the demo needs no link. */
class NoLink extends SetupTokens {
  override claim(): Promise<SetupClaim> {
    return Promise.resolve({ settle: () => Promise.resolve(), release: () => Promise.resolve() });
  }
}

/**
 * Every sign-in of the demo has the same password, printed for whoever reads it, so it is hashed once and not once each: a
 * hash is made to take long.
 */
class HashedOnce extends PasswordHasher {
  private hashed: { readonly password: string; readonly hash: Promise<string> } | null = null;

  constructor(private readonly inner: PasswordHasher) {
    super();
  }

  override hash(password: string): Promise<string> {
    if (this.hashed?.password !== password) this.hashed = { password, hash: this.inner.hash(password) };
    return this.hashed.hash;
  }

  override async matches(hash: string, password: string): Promise<boolean> {
    const known = this.hashed;
    if (known?.password === password && (await known.hash) === hash) return true;
    return this.inner.matches(hash, password);
  }
}

/** Cases that are played at the same time; each keeps one connection busy. */
const SIDE_BY_SIDE = 4;

/**
 * Fills an empty installation with an invented hospital and four months of its work, through the use cases that the service
 * itself runs, each at its moment.
 */
export async function seedDemo(given: DemoPorts, options: DemoOptions): Promise<SeededDemo> {
  const ports = { ...given, hasher: new HashedOnce(given.hasher) };
  const { seed, now, password } = options;
  const today = localDateOf(now, HOSPITAL.timeZone);
  const people = peopleOf(seed, today);
  const story = tellStory(seed, now, today, people);
  const opened = startOfDay(addDays(today, -125), HOSPITAL.timeZone);
  const cast = await openHospital(ports, { people, opened, password });
  const identified = startOfDay(addDays(today, -IDENTIFIED_DAYS_AGO), HOSPITAL.timeZone);
  const hospital: Hospital = { ports, options, cast, story, sites: new SiteKnowledge(3_600_000) };

  await recordUses(hospital, opened);
  const sources = await enterSources(hospital);
  const courses = story.cases.map((told) => new CaseCourse(hospital, told));
  const events = new Map<string, string>();
  for (const { told } of courses) events.set(told.event, events.get(told.event) ?? v7());
  const before = courses.filter(({ told }) => told.reportedAt < identified);
  await sideBySide(before, (course) => course.play(events, identified));
  await identifySource(hospital, sources, addHours(identified, 11.5));
  await sideBySide(courses, (course) => course.play(events, now));
  return {
    siteId: cast.nurse.siteId,
    people: people.length,
    uses: story.uses.reduce((sum, { uses }) => sum + uses, 0),
    cases: courses.length,
  };
}

interface Cast {
  readonly nurse: Actor;
  readonly people: readonly { readonly person: DemoPerson; readonly actor: Actor }[];
  readonly units: ReadonlyMap<UnitName, string>;
}

interface Hospital {
  readonly ports: DemoPorts;
  readonly options: DemoOptions;
  readonly cast: Cast;
  readonly story: Story;
  readonly sites: SiteKnowledge;
}

/** The site, its units, its people and their accounts, and the tables that a clinician has confirmed. */
async function openHospital(
  { work: inner, directory, sites, hasher, rulebook }: DemoPorts,
  {
    people,
    opened,
    password,
  }: { readonly people: readonly DemoPerson[]; readonly opened: Instant; readonly password: string },
): Promise<Cast> {
  const work = new BackdatedWork(inner, opened);
  const { siteId, accountId, units } = await new SetUpSite(work, rulebook, sites, new NoLink(), hasher).execute({
    token: '',
    siteName: HOSPITAL.name,
    timeZone: HOSPITAL.timeZone,
    units: UNITS,
    emergency: HOSPITAL.emergency,
    occupationalHealth: HOSPITAL.occupationalHealth,
    onCallClinician: HOSPITAL.onCallClinician,
    login: ADMINISTRATOR_LOGIN,
    password,
  });
  const unitIds = new Map(units.map(({ unitId, name }) => [name as UnitName, unitId]));
  const idOf = (unit: UnitName) => unitIds.get(unit) ?? '';
  const administrator: Actor = { siteId, role: 'administrator', accountId, personId: null, unitIds: [] };
  const create = new CreatePerson(work, directory, hasher);
  const cast: Cast['people'][number][] = [];
  await work.together(administrator, async () => {
    for (const [index, person] of people.entries()) {
      const signIn = SIGN_INS[index];
      const ofManager = signIn?.role === 'manager' ? MANAGED_UNITS.map(idOf) : [];
      const made = await create.execute(
        {
          ...person,
          unitId: idOf(person.unit),
          account: signIn ? { login: signIn.login, password, role: signIn.role, unitIds: ofManager } : null,
        },
        administrator,
      );
      const role = signIn?.role ?? 'wearer';
      const accountId = made.accountId ?? (await accountOf(work, administrator, person, made.personId));
      cast.push({ person, actor: { siteId, role, accountId, personId: made.personId, unitIds: ofManager } });
    }
  });
  const nurse = cast[SIGN_INS.findIndex(({ login }) => login === 'nurse')]?.actor;
  if (!nurse) throw new TypeError('The demo has no nurse.');
  const confirm = new ConfirmTable(work, rulebook, new SiteKnowledge());
  for (const { table } of rulebook.tables()) {
    const ref = `${table.id}@${table.version}`;
    const rules = rulebook.needsConfirmation(ref);
    if (rules.length > 0) await confirm.execute({ ref, rules }, nurse);
  }
  return { nurse, people: cast, units: unitIds };
}

/** Whoever reported has an account. Those that are no sign-in of the demo have no password, so nobody can sign in by them. */
function accountOf(
  work: UnitOfWork,
  administrator: Actor,
  { staffNumber }: DemoPerson,
  personId: string,
): Promise<string> {
  return work.run(administrator, async (tx) => {
    const accountId = v7();
    await tx.site.insertAccount({
      accountId,
      siteId: administrator.siteId,
      personId,
      role: 'wearer',
      login: staffNumber.toLowerCase(),
      unitIds: [],
      passwordHash: null,
    });
    return accountId;
  });
}

async function recordUses({ ports, cast, story }: Hospital, now: Instant): Promise<void> {
  const [ensemble] = ports.rulebook.ensembles();
  if (!ensemble) throw new TypeError('The rulebook has no ensemble.');
  const uses = story.uses.map(({ unit, ...use }) => ({
    ...use,
    unitId: cast.units.get(unit) ?? '',
    ensembleId: ensemble.id,
  }));
  await new BackdatedWork(ports.work, now).run(cast.nurse, async (tx) => {
    for (let from = 0; from < uses.length; from += 500) await tx.insight.recordUses(uses.slice(from, from + 500));
  });
}

/** Every source with what was known when its first person was exposed. */
async function enterSources({ ports, cast, story, sites }: Hospital): Promise<ReadonlyMap<string, string>> {
  const work = new BackdatedWork(ports.work, '');
  const create = new CreateSource(work);
  const change = new ChangeSourceStatus(work, ports.rulebook, sites);
  const ids = new Map<string, string>();
  for (const { pseudonym, statuses } of EPISODES) {
    const [first] = statuses;
    if (!first) continue;
    const onDate = addDays(story.today, -first.daysAgo);
    work.now = addHours(startOfDay(onDate, HOSPITAL.timeZone), 6);
    await work.together(cast.nurse, async () => {
      const { sourceId } = await create.execute({ pseudonym }, cast.nurse);
      await change.execute({ sourceId, status: first.status, agent: first.agent, onDate }, cast.nurse);
      ids.set(pseudonym, sourceId);
    });
  }
  return ids;
}

/** What happened two days ago: the newest source was identified, and running follow-ups were tightened by it. */
async function identifySource(
  { ports, cast, story, sites }: Hospital,
  sources: ReadonlyMap<string, string>,
  now: Instant,
): Promise<void> {
  const change = new ChangeSourceStatus(new BackdatedWork(ports.work, now), ports.rulebook, sites);
  for (const { pseudonym, statuses } of EPISODES) {
    const sourceId = sources.get(pseudonym);
    for (const { status, agent, daysAgo } of statuses.slice(1)) {
      const onDate = addDays(story.today, -daysAgo);
      if (sourceId)
        await change.execute({ sourceId, status, agent, onDate, sampledOn: addDays(onDate, -1) }, cast.nurse);
    }
  }
}

async function sideBySide<T>(items: readonly T[], act: (item: T) => Promise<void>): Promise<void> {
  const waiting = [...items];
  await Promise.all(
    Array.from({ length: SIDE_BY_SIDE }, async () => {
      for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) await act(next);
    }),
  );
}

type Decision = Pick<DetermineCommand, 'decision' | 'categoryId' | 'reason' | 'secondClinician'>;

/** One person's part in an event, from the report to the release, as far as it has come by the moment it is played to. */
class CaseCourse {
  private incidentId: string | null = null;
  private revision = 0;
  private plan: PlanView | null = null;
  private decided = false;
  private released = false;
  private state: IncidentState = 'open';
  private played: Instant = '';

  constructor(
    private readonly hospital: Hospital,
    readonly told: DemoCase,
  ) {}

  async play(events: ReadonlyMap<string, string>, until: Instant): Promise<void> {
    const { told } = this;
    if (told.reportedAt > until || this.released) return;
    if (this.incidentId === null) await this.report(events.get(told.event) ?? v7());
    else await this.readAgain();
    const reopened = this.decided && this.state === 'open' && told.standing !== 'fever-open';
    if (!this.decided || reopened) await this.decide(until, reopened ? this.played : told.reportedAt);
    await this.readAgain();
    await this.follow(until);
    if (this.decided && told.standing !== 'fever-open') await this.release(until);
    this.played = until;
  }

  private get who() {
    const cast = this.hospital.cast.people[this.told.person];
    if (!cast) throw new TypeError('A case of nobody.');
    return cast;
  }

  private get nurse(): Actor {
    return this.hospital.cast.nurse;
  }

  /** The case's own chance, so that the order in which cases are played changes nothing. */
  private chance(part: string): Chance {
    return new Chance(`${this.told.key}/${part}`);
  }

  private work(now: Instant): BackdatedWork {
    const { standing } = this.told;
    const notices = standing === 'call-back-open' || standing === 'fever-open';
    return new BackdatedWork(this.hospital.ports.work, now, notices);
  }

  private async report(eventId: string): Promise<void> {
    const { told, who } = this;
    const { ports, cast, sites } = this.hospital;
    const byNurse = told.enteredBy === 'nurse';
    const report = new ReportIncident(this.work(told.reportedAt), ports.rulebook, sites);
    const { body } = await report.execute(
      {
        ...told.content,
        idempotencyKey: told.key,
        reportId: v7(),
        eventId,
        wearer: byNurse ? { staffNumber: who.person.staffNumber } : 'self',
        unitId: cast.units.get(told.unit) ?? null,
        source: told.source,
        account: told.account,
        buddy: told.buddy,
      },
      byNurse ? this.nurse : who.actor,
    );
    this.incidentId = body.incidentId;
    this.revision = body.revision;
    this.plan = body.plan;
  }

  /** The call-back, the two identifiers, what was still open, the signature and the letter. */
  private async decide(until: Instant, since: Instant): Promise<void> {
    const { told, nurse, incidentId } = this;
    if (incidentId === null || told.standing === 'call-back-open') return;
    const again = since !== told.reportedAt;
    const chance = this.chance(again ? 'second decision' : 'decision');
    const called = addHours(since, again ? chance.between(13, 20) : chance.between(15, 80) / 60);
    const signed = addHours(called, chance.between(1, 20));
    if (called > until) return;
    const work = this.work(called);
    const { ports, sites } = this.hospital;
    await work.together(nurse, async () => {
      await this.answerAlerts(work, told.standing === 'unsettled');
      if (told.standing === 'unsettled') return;
      if (!again) {
        const { staffNumber, dateOfBirth } = this.who.person;
        await new ConfirmIdentity(work).execute({ incidentId, staffNumber, dateOfBirth }, nurse);
      }
      const made = await this.assessment(work);
      let { result } = made;
      if (!result.settled) {
        work.now = addHours(called, 0.2);
        const amended = await new AmendIncident(work, ports.rulebook, sites).execute(
          { incidentId, onRevision: this.revision, changes: { facts: this.answers(made, chance) } },
          nurse,
        );
        this.revision = amended.revision;
        result = amended.assessment;
        await this.answerAlerts(work, false);
      }
      if (told.standing === 'waits-for-signature' || signed > until) return;
      work.now = signed;
      const determine = new Determine(work, ports.rulebook, new CredentialCheck(ports.directory, ports.hasher));
      const { body } = await determine.execute(
        {
          idempotencyKey: `${told.key}/determination/${this.revision}`,
          incidentId,
          onRevision: this.revision,
          ...this.signed(result, chance),
        },
        nurse,
      );
      await this.answerAlerts(work, false);
      this.revision = body.revision;
      this.plan = body.plan;
      this.decided = true;
      if (result.level !== null && result.level > 1) {
        work.now = addHours(signed, 0.3);
        const letter = await new DraftLetter(work, ports.rulebook, ports.writer).execute(
          { incidentId, kind: 'referral' },
          nurse,
        );
        await new SignLetter(work, ports.rulebook, ports.writer).execute({ letterId: letter.letterId }, nurse);
      }
    });
  }

  /** Mostly the assessment is confirmed. What the authority left open is followed as its strictest category. */
  private signed(result: Assessment, chance: Chance): Decision {
    if (this.told.content.kind === 'near-miss') return { decision: 'confirm' };
    const below = this.categoryBelow(result);
    const departs = chance.happens(0.06) || this.told.standing === 'departed-below';
    if (departs && below !== null) {
      return {
        decision: 'depart',
        categoryId: below,
        reason:
          'Seen in person and the glove or gown looked at: what was wet lay outside, and the skin was dry and whole.',
        secondClinician: { login: 'second-nurse', password: this.hospital.options.password },
      };
    }
    if (result.categoryId !== NOT_CLASSIFIED) return { decision: 'confirm' };
    const { table } = this.hospital.ports.rulebook.table(`${result.table}@${result.version}`);
    const strictest = table.categories.at(-1)?.id;
    if (strictest === undefined) return { decision: 'confirm' };
    return {
      decision: 'depart',
      categoryId: strictest,
      reason: 'The authority leaves this combination open; followed as its strictest category until more is known.',
    };
  }

  private async answerAlerts(work: BackdatedWork, onlyTaken: boolean): Promise<void> {
    for (const alert of await this.openAlerts(work)) {
      await new AcknowledgeAlert(work).execute({ alertId: alert.alertId }, this.nurse);
      if (onlyTaken) continue;
      await new CloseAlert(work).execute(
        {
          alertId: alert.alertId,
          outcome: 'spoken-to-well',
          decided: 'Spoken to on the telephone; well. Questions asked.',
        },
        this.nurse,
      );
    }
  }

  private openAlerts(work: BackdatedWork): Promise<readonly AlertRecord[]> {
    const { incidentId, nurse } = this;
    return incidentId === null
      ? Promise.resolve([])
      : work.run(nurse, (tx) => tx.alerts.list({ open: true, incidentId }));
  }

  private async assessment(work: BackdatedWork) {
    const { incidentId, nurse } = this;
    const made = incidentId === null ? [] : await work.run(nurse, (tx) => tx.incidents.assessments(incidentId));
    const last = made.at(-1);
    if (!last) throw new TypeError('An incident without an assessment.');
    return last;
  }

  /**
   * What the nurse hears on the telephone, question by question as the table asks them: mostly the harmless answer, sometimes
   * not, and never two that cannot both be true.
   */
  private answers({ facts, result }: AssessmentRecord, chance: Chance): Facts {
    const { rulebook } = this.hospital.ports;
    const table = rulebook.table(`${result.table}@${result.version}`);
    const heard: Record<string, string | number> = {};
    for (let current: Assessment = result; !current.settled;) {
      const question = current.openQuestions.find(({ fact }) => !(fact in heard));
      if (!question) break;
      const definition = rulebook.vocabulary.facts[question.fact];
      const first =
        definition?.kind === 'quantity'
          ? chance.between(1, 12)
          : definition?.kind === 'yesNo'
            ? chance.happens(0.2)
              ? 'yes'
              : 'no'
            : chance.oneOf(question.values);
      const possible = [first, ...question.values].find((value) => {
        try {
          current = assess(table, { ...facts, ...heard, [question.fact]: value });
          return true;
        } catch (error) {
          if (error instanceof ImpossibleCombination) return false;
          throw error;
        }
      });
      heard[question.fact] = possible ?? 'unknown';
    }
    return heard;
  }

  /** The category next below the assessed one; null where there is none. */
  private categoryBelow(result: Assessment): string | null {
    const { table } = this.hospital.ports.rulebook.table(`${result.table}@${result.version}`);
    return table.categories.filter((category) => worstFirst(result, category) < 0).at(-1)?.id ?? null;
  }

  private async readAgain(): Promise<void> {
    const { incidentId, nurse } = this;
    if (incidentId === null) return;
    const stored = await this.hospital.ports.work.run(nurse, async (tx) => {
      const plan = await tx.plans.findByIncident(incidentId);
      const incident = await tx.incidents.find(incidentId);
      return { plan, incident, checks: plan === null ? [] : await tx.plans.checks(plan.planId) };
    });
    this.revision = stored.incident?.revision ?? this.revision;
    this.state = stored.incident?.state ?? this.state;
    const { plan, checks } = stored;
    this.plan = plan && ({ ...plan.plan, planId: plan.planId, state: plan.state, checks } as unknown as PlanView);
  }

  /** Readings by the wearer; contacts, tests, reviews and support by the nurse; an alert answered within hours. */
  private async follow(until: Instant): Promise<void> {
    const { plan } = this;
    if (plan === null || plan.state === 'released') return;
    await this.takeReadings(plan, until);
    const work = this.work(until);
    await work.together(this.nurse, async () => {
      for (const alert of this.told.standing === 'fever-open' ? [] : await this.openAlerts(work)) {
        if (alert.kind !== 'fever' && alert.kind !== 'symptom') continue;
        work.now = addHours(alert.raisedAt, 0.25);
        if (work.now > until) continue;
        await new AcknowledgeAlert(work).execute({ alertId: alert.alertId }, this.nurse);
        work.now = addHours(alert.raisedAt, 2.5);
        if (work.now > until) continue;
        await new CloseAlert(work).execute(
          {
            alertId: alert.alertId,
            outcome: 'spoken-to-sent-for-assessment',
            decided: 'Seen in the isolation room; samples negative; a cold. Back to readings twice a day.',
          },
          this.nurse,
        );
      }
      for (const check of plan.checks) {
        if (check.state !== 'due' || check.kind === 'reading' || check.kind === 'release') continue;
        const done = addHours(check.dueUntil, -0.5);
        // The first review is the signature, which closes it by itself.
        if (done > until || (check.kind === 'review' && check.ordinal === 1)) continue;
        work.now = done;
        await new CompleteCheck(work).execute({ planId: plan.planId, checkKey: check.key }, this.nurse);
      }
    });
  }

  private async takeReadings(plan: PlanView, until: Instant): Promise<void> {
    const { actor } = this.who;
    const wearer: Actor = { ...actor, role: 'wearer' };
    const chance = this.chance('readings');
    const fahrenheit = chance.happens(0.12);
    const feverOn = chance.happens(PUBLISHED.febrile) ? chance.between(2, 11) : null;
    const symptomOn = chance.happens(PUBLISHED.symptomatic) ? chance.between(2, 11) : null;
    const slots = plan.checks.filter(({ kind }) => kind === 'reading');
    const work = this.work(until);
    const record = new RecordReading(work);
    await work.together(wearer, async () => {
      for (const [index, slot] of slots.entries()) {
        // Drawn for every slot, so that a slot's reading does not depend on where the play was interrupted.
        const missed = chance.happens(PUBLISHED.readingsMissed);
        const share = chance.next();
        const normal = chance.about(slot.slot === 'morning' ? 36.4 : 36.7, 0.28);
        const length = Date.parse(slot.dueUntil) - Date.parse(slot.dueFrom);
        const at = new Date(Date.parse(slot.dueFrom) + Math.floor(share * length)).toISOString();
        const entered = addHours(at, 0.08);
        if (slot.state !== 'due' || missed || entered > until || at < this.told.reportedAt || at <= this.played)
          continue;
        const fever = index === feverOn ? 38.1 + share : null;
        work.now = entered;
        await record.execute(
          {
            idempotencyKey: `${this.told.key}/${slot.key}`,
            planId: plan.planId,
            at,
            timeZone: HOSPITAL.timeZone,
            ...temperature(fever ?? normal, fahrenheit),
            measurementSite: 'ear',
            antipyreticTaken: 'no',
            feltFever: fever === null ? 'no' : 'yes',
            symptoms: index === symptomOn ? plan.symptoms.slice(0, 1).map(({ code }) => code) : [],
          },
          wearer,
        );
      }
      if (this.told.standing === 'fever-open' && until === this.hospital.options.now) {
        work.now = addHours(until, -0.6);
        await record.execute(
          {
            idempotencyKey: `${this.told.key}/fever`,
            planId: plan.planId,
            at: addHours(until, -0.65),
            timeZone: HOSPITAL.timeZone,
            ...temperature(38.4, false),
            measurementSite: 'ear',
            antipyreticTaken: 'no',
            feltFever: 'yes',
            symptoms: plan.symptoms.slice(0, 1).map(({ code }) => code),
          },
          wearer,
        );
      }
    });
  }

  private async release(until: Instant): Promise<void> {
    const { plan, nurse, told } = this;
    if (plan === null) return;
    const at = addHours(startOfDay(addDays(plan.lastDay, 1), HOSPITAL.timeZone), 9.5);
    if (at > until) return;
    const { ports } = this.hospital;
    const release = new ReleasePlan(this.work(at), new CredentialCheck(ports.directory, ports.hasher));
    try {
      await release.execute({ idempotencyKey: `${told.key}/release`, planId: plan.planId }, nurse);
      this.released = true;
    } catch (error) {
      if (!(error instanceof WindowOpen)) throw error;
    }
  }
}

function temperature(celsius: number, fahrenheit: boolean): { value: string; unit: 'Cel' | '[degF]' } {
  return fahrenheit
    ? { value: (celsius * 1.8 + 32).toFixed(1), unit: '[degF]' }
    : { value: celsius.toFixed(1), unit: 'Cel' };
}
