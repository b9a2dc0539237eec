import { v7 } from 'uuid';
import {
  addDays,
  compareInstants,
  judgeReading,
  localDateOf,
  plausibilityOf,
  requireInstant,
  requireTimeZone,
  slotOf,
  startOfDay,
  type Decimal,
  type FollowUpPlan,
  type Instant,
  type MeasurementSite,
  type Reading,
  type ReadingJudgement,
  type TemperatureUnit,
  type Ternary,
  type TimeZone,
} from '#domain';
import { authorise } from '../access/authorise.js';
import type { Answer, Idempotent } from '../answer.js';
import { once } from '../idempotency.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Transaction, UnitOfWork } from '../ports/unit-of-work.js';
import type { PlanRecord, ReadingRecord } from '../records/followup.js';
import type { Actor, SiteRecord } from '../records/people.js';
import { NeedsConfirmation, NotFound, UnacceptableEntry } from '../refusals.js';
import { ILLNESS_ALERTS, newAlert, raiseAlert, type AlertDraft } from './alerts.js';
import { notRosteredUntilDecided } from './duty.js';

export interface RecordReadingCommand extends Idempotent {
  readonly planId: string;
  readonly at: Instant;
  readonly timeZone: TimeZone;
  /** As it stood on the thermometer; null when only symptoms are answered. */
  readonly value: Decimal | null;
  readonly unit: TemperatureUnit;
  readonly measurementSite?: MeasurementSite | null;
  readonly antipyreticTaken?: Ternary | null;
  readonly feltFever?: Ternary | null;
  /** Codes out of the plan's symptoms. */
  readonly symptoms?: readonly string[];
  readonly confirmed?: boolean;
}

export interface RecordedReading {
  readonly readingId: string;
  readonly judgement: ReadingJudgement;
  /** The most urgent alert that it raised. */
  readonly alertId: string | null;
  /** The check that this reading answers; null when none was due. */
  readonly checkKey: string | null;
  /** What to do at once, the emergency route first; null when nothing was met. */
  readonly advice: {
    readonly emergency: { readonly words: string; readonly telephone: string };
    readonly occupationalHealth: { readonly telephone: string };
    readonly actions: readonly string[];
  } | null;
}

/** As a bedside clock may be ahead. */
const CLOCK_TOLERANCE_MILLISECONDS = 2 * 60_000;

/** Older is possible, but as likely a mistyped year: it is asked again. */
const PLAUSIBLE_AGE_DAYS = 365;

/** Common practice. */
const ILL_ACTIONS = [
  'Stop work now.',
  'Go where you are alone, and stay there.',
  'Telephone before you go anywhere: do not travel in.',
];

/** Every plan of a person asks the same body: a reading is judged by all that run. */
function joined(plans: readonly FollowUpPlan[]): Pick<FollowUpPlan, 'thresholds' | 'symptoms'> {
  const symptoms = new Map(plans.flatMap((plan) => plan.symptoms.map((symptom) => [symptom.code, symptom] as const)));
  return { thresholds: plans.flatMap(({ thresholds }) => thresholds), symptoms: [...symptoms.values()] };
}

/** Keeps a reading, judges it, and raises it to the nurse when a threshold or a symptom is met. */
export class RecordReading {
  constructor(private readonly work: UnitOfWork) {}

  async execute(command: RecordReadingCommand, actor: Actor): Promise<Answer<RecordedReading>> {
    const reach = authorise(actor, 'reading.record');
    const at = requireInstant(command.at, '/at');
    requireTimeZone(command.timeZone, '/timeZone');
    const { idempotencyKey, ...content } = command;
    const request = { route: 'record-reading', key: idempotencyKey, content };
    return once(this.work, actor, request, async (tx) => {
      const plan = await tx.plans.find(command.planId);
      if (plan === null || (reach === 'own' && plan.personId !== actor.personId)) throw new NotFound('plan');
      return this.record(tx, { ...command, at }, plan, actor);
    });
  }

  private async record(
    tx: Transaction,
    command: RecordReadingCommand,
    plan: PlanRecord,
    actor: Actor,
  ): Promise<RecordedReading> {
    const { personId, planId } = plan;
    const others = (await tx.plans.listByPerson(personId)).filter(
      (other) => other.planId !== planId && other.state === 'running',
    );
    const asking = [plan, ...others];
    const monitored = joined(asking.map((record) => record.plan));
    const reading = readingOf(command, monitored);
    const doubt = doubtAbout(reading, plan, tx.now);
    if (doubt && command.confirmed !== true) throw new NeedsConfirmation(doubt.words, doubt.pointer);
    const earlier: ReadingRecord[] = [];
    for (const asked of asking) earlier.push(...(await tx.plans.readings(asked.planId)));
    const judgement = judgeReading(reading, monitored, earlier);

    // A temperature that nobody has is kept, and answers no check: the slot still waits for one.
    const answers = reading.value !== null && judgement.plausibility === 'plausible';
    const answered = answers ? await checksAnswered(tx, asking, reading.at) : new Map<string, string>();
    const readingId = v7();
    const checkKey = answered.get(planId) ?? null;
    await tx.plans.insertReading({
      ...reading,
      readingId,
      planId,
      personId,
      checkKey,
      enteredBy: actor.accountId,
      enteredAt: tx.now,
      confirmedImplausible: doubt !== null,
      judgement,
    });
    for (const [of, key] of answered) await tx.plans.completeCheck(of, key, tx.now, readingId);
    await tx.ledger.append(ledgerEntry('reading.recorded', { kind: 'reading', id: readingId, personId }));

    const site = await tx.site.read();
    const drafts = draftsFor(readingId, plan, judgement, doubt);
    const alertId = await raiseAll(tx, drafts, site);
    const ill = drafts.some(({ kind }) => ILLNESS_ALERTS.has(kind));
    if (ill) {
      const person = await tx.people.find(personId);
      if (person) await tx.dutyStatuses.set(notRosteredUntilDecided(person, tx.now));
    }
    const { emergency, occupationalHealth } = site.settings;
    return {
      readingId,
      judgement,
      alertId,
      checkKey,
      advice: ill
        ? { emergency, occupationalHealth: { telephone: occupationalHealth.telephone }, actions: ILL_ACTIONS }
        : null,
    };
  }
}

function readingOf(command: RecordReadingCommand, { symptoms: asked }: Pick<FollowUpPlan, 'symptoms'>): Reading {
  const { at, value, unit, measurementSite, antipyreticTaken, feltFever, symptoms = [] } = command;
  const stranger = symptoms.findIndex((code) => !asked.some((symptom) => symptom.code === code));
  if (stranger >= 0) {
    throw new UnacceptableEntry('The plan asks for no such symptom.', {
      pointer: `/symptoms/${stranger}`,
      accepted: `one of: ${asked.map(({ code }) => code).join(', ')}`,
    });
  }
  if (value !== null && plausibilityOf(value, unit) === 'refused') {
    throw new UnacceptableEntry('No thermometer shows this of a person.', {
      pointer: '/value',
      accepted:
        'the temperature as it stands on the thermometer, for example 37.4 with the unit Cel or 99.3 with [degF]',
    });
  }
  return {
    at,
    value,
    unit,
    measurementSite: measurementSite ?? 'not-known',
    antipyreticTaken: antipyreticTaken ?? 'unknown',
    feltFever: feltFever ?? 'unknown',
    symptoms,
  };
}

interface Doubt {
  readonly words: string;
  readonly pointer: string;
}

/** What is asked again and kept when it is confirmed. What cannot be is refused. */
function doubtAbout({ at, value, unit }: Reading, { plan }: PlanRecord, now: Instant): Doubt | null {
  if (Date.parse(at) - Date.parse(now) > CLOCK_TOLERANCE_MILLISECONDS) {
    throw new UnacceptableEntry('This lies in the future.', { pointer: '/at', accepted: `a moment not after ${now}` });
  }
  if (localDateOf(at, plan.timeZone) < plan.dayZero) {
    throw new UnacceptableEntry('This lies before the exposure.', {
      pointer: '/at',
      accepted: `a moment not before ${plan.dayZero}, day 0 of the plan`,
    });
  }
  if (value !== null && plausibilityOf(value, unit) === 'implausible') {
    return { words: 'The temperature is not one that a person has.', pointer: '/value' };
  }
  const oldest = startOfDay(addDays(localDateOf(now, plan.timeZone), -PLAUSIBLE_AGE_DAYS), plan.timeZone);
  return compareInstants(at, oldest) < 0 ? { words: 'This was more than a year ago.', pointer: '/at' } : null;
}

/** The due check that a reading at this moment answers, by plan: one thermometer serves every plan of a person. */
async function checksAnswered(
  tx: Transaction,
  asking: readonly PlanRecord[],
  at: Instant,
): Promise<ReadonlyMap<string, string>> {
  const answered = new Map<string, string>();
  for (const { planId, plan, state } of asking) {
    const slot = state === 'running' ? slotOf(plan, at) : null;
    const stored = slot && (await tx.plans.findCheck(planId, slot.key));
    if (stored?.state === 'due') answered.set(planId, stored.key);
  }
  return answered;
}

/** Most urgent first. */
function draftsFor(
  readingId: string,
  { planId, personId, incidentId }: PlanRecord,
  { alert, reasons }: ReadingJudgement,
  doubt: Doubt | null,
): readonly AlertDraft[] {
  const about = { planId, personId, incidentId };
  const met = alert === 'fever' || alert === 'symptom' ? alert : null;
  return [
    ...(met ? [{ ...about, alertKey: `reading/${readingId}/${met}`, kind: met, reasons }] : []),
    ...(doubt
      ? [
          {
            ...about,
            alertKey: `reading/${readingId}/implausible`,
            kind: 'implausible-entry' as const,
            reasons: [`${doubt.words} It was entered a second time and confirmed.`],
          },
        ]
      : []),
  ];
}

async function raiseAll(tx: Transaction, drafts: readonly AlertDraft[], site: SiteRecord): Promise<string | null> {
  const raised: string[] = [];
  for (const draft of drafts) {
    const alert = newAlert(draft, tx.now);
    if (!(await raiseAlert(tx, alert, site))) continue;
    raised.push(alert.alertId);
    await tx.ledger.append(ledgerEntry('alert.raised', { kind: 'alert', id: alert.alertId, personId: alert.personId }));
  }
  if (raised.length > 0) await tx.wake('send-notices');
  return raised[0] ?? null;
}
