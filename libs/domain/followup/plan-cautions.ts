import type { LocalDate, TimeZone } from '../calendar/instant.js';
import { addDays, dateExists, daysBetween } from '../calendar/local-date.js';
import type { PlannedCheck } from './plan.js';
import type { AgentProfile, CategoryPlan } from './profile.js';

/** What a reader of the plan must know beside it; the emergency route first. */
export function planCautions(plan: {
  readonly profile: AgentProfile;
  readonly category: CategoryPlan;
  readonly assumed: boolean;
  readonly dayZero: LocalDate;
  readonly lastDay: LocalDate;
  readonly timeZone: TimeZone;
  readonly checks: readonly PlannedCheck[];
}): readonly string[] {
  const { profile, category, assumed, dayZero, lastDay, timeZone, checks } = plan;
  const counted = profile.window.from === 'first-exposure' ? 'first' : 'last';
  const skipped = datesSkipped(dayZero, lastDay, timeZone);
  const ofTheAuthority = checks.filter(({ kind }) => kind !== 'support' && kind !== 'review');
  const remembered = [profile.window, profile.threshold, category, ...category.restrictions, ...ofTheAuthority].some(
    ({ grade }) => grade === 'remembered',
  );
  return [
    'In an emergency call the emergency number first.',
    'Fever or any symptom: stop work, keep apart from others and telephone; do not travel in.',
    'This plan is a proposal until a clinician has signed it; prophylaxis is for a prescriber to decide.',
    ...(assumed ? [`The category is not known: the strictest that ${profile.id} has is assumed.`] : []),
    category.followUp
      ? `${profile.id}: day 0 is ${dayZero}, the date of the ${counted} exposure in ${timeZone}; the window and its restrictions end at the end of ${lastDay}; hour limits run from the earliest exposure.`
      : `${profile.id}: this category asks for no follow-up; a human confirms that.`,
    ...skipped.map((date) => `${timeZone} had no ${date}: no reading falls on it.`),
    ...(profile.supersededBy ? [`${profile.id} is superseded by ${profile.supersededBy}.`] : []),
    ...(remembered ? [`Parts of the plan by ${profile.id} are from memory: confirm them locally.`] : []),
    ...profile.cautions,
  ];
}

function datesSkipped(dayZero: LocalDate, lastDay: LocalDate, timeZone: TimeZone): readonly LocalDate[] {
  return Array.from({ length: daysBetween(dayZero, lastDay) }, (_, day) => addDays(dayZero, day)).filter(
    (date) => !dateExists(date, timeZone),
  );
}
