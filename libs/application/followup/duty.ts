import {
  addDays,
  localDateOf,
  strictestWork,
  type Assessment,
  type FollowUpPlan,
  type Instant,
  type LocalDate,
  type TimeZone,
} from '#domain';
import type { Transaction } from '../ports/unit-of-work.js';
import type { DutyStatusRecord } from '../records/followup.js';
import type { PersonRecord } from '../records/people.js';
import { ILLNESS_ALERTS } from './alerts.js';

/** Open, not classified, or above level 0: nobody works on it before occupational health has decided. */
export function needsDecision({ settled, level }: Assessment): boolean {
  return !settled || level === null || level > 0;
}

/** Occupational health looks again by the next day: common practice, which a determination replaces. */
function nextReview(now: Instant, timeZone: TimeZone): LocalDate {
  return addDays(localDateOf(now, timeZone), 1);
}

type Whose = Pick<PersonRecord, 'personId' | 'rosterRef' | 'unitId' | 'timeZone'>;

export function notRosteredUntilDecided(person: Whose, now: Instant): DutyStatusRecord {
  return {
    personId: person.personId,
    rosterRef: person.rosterRef,
    unitId: person.unitId,
    work: 'not-rostered-until-decided',
    untilDate: null,
    nextReviewDate: nextReview(now, person.timeZone),
    setBy: 'report',
  };
}

/**
 * The status that signed plans leave somebody with; null when all work is permitted. The strictest restriction that has
 * not ended holds, up to the last day of any: it may be eased by a nurse, never by the calendar alone.
 */
export function dutyStatusOf(person: Whose, plans: readonly FollowUpPlan[], now: Instant): DutyStatusRecord | null {
  const today = localDateOf(now, person.timeZone);
  const restrictions = plans.flatMap((plan) => plan.restrictions).filter(({ until }) => until >= today);
  const work = strictestWork(restrictions);
  if (work === 'all') return null;
  const until = restrictions
    .filter((restriction) => restriction.work !== 'all')
    .reduce<LocalDate>((latest, restriction) => (restriction.until > latest ? restriction.until : latest), today);
  return {
    personId: person.personId,
    rosterRef: person.rosterRef,
    unitId: person.unitId,
    work,
    untilDate: until,
    nextReviewDate: null,
    setBy: 'nurse',
  };
}

/** Sets or clears a person's status from everything that is open about them in this transaction. */
export async function refreshDutyStatus(tx: Transaction, person: Whose): Promise<void> {
  const running = (await tx.plans.listByPerson(person.personId)).filter(({ state }) => state === 'running');
  const undecided = running.filter(({ basis }) => basis === 'interim');
  const standings = await tx.incidents.standings(undecided.map(({ incidentId }) => incidentId));
  const open = await tx.alerts.list({ open: true, personId: person.personId });
  const waits =
    undecided.some(({ incidentId }) => {
      const standing = standings.get(incidentId);
      return standing === undefined || needsDecision(standing.assessment.result);
    }) || open.some(({ kind }) => ILLNESS_ALERTS.has(kind));
  const status = waits
    ? notRosteredUntilDecided(person, tx.now)
    : dutyStatusOf(
        person,
        running.map(({ plan }) => plan),
        tx.now,
      );
  if (status) await tx.dutyStatuses.set(status);
  else await tx.dutyStatuses.clear(person.personId);
}
