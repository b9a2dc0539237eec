import type { LocalDate } from '../calendar/instant.js';
import { addDays } from '../calendar/local-date.js';
import { checkKey } from './check-keys.js';
import { inOrderOfDueTime } from './check-order.js';
import { joinChecks, joinNames } from './join-checks.js';
import type { FollowUpPlan, PlannedCheck, PlannedRestriction } from './plan.js';
import { REGIMES, type Symptom } from './profile.js';
import { DifferentTimeZones, NoExposure } from './refusals.js';
import { supportMidway } from './window-checks.js';

/**
 * One plan for one person out of several, part by part: earliest start, latest end, the most frequent slots, every
 * threshold, and the union of symptoms, tests and restrictions, each naming its profile. Prophylaxis is not merged: each
 * profile keeps its own. The order in which plans are joined does not matter, and a plan joined with itself is itself.
 */
export function joinPlans(plans: readonly FollowUpPlan[]): FollowUpPlan {
  const [first] = plans;
  if (!first) throw new NoExposure();
  if (plans.some(({ timeZone }) => timeZone !== first.timeZone)) throw new DifferentTimeZones();
  // A plan that asks for nothing has no window, so it neither starts nor ends that of the others.
  const followed = plans.filter(asksForFollowUp);
  const windows = followed.length > 0 ? followed : plans;
  const dayZero = least(windows.map((plan) => plan.dayZero));
  const lastDay = greatest(windows.map((plan) => plan.lastDay));
  return {
    profiles: [...new Set(plans.flatMap(({ profiles }) => profiles))].sort(),
    category: joinNames(plans.map(({ category }) => category)),
    regime: REGIMES[Math.max(...plans.map(({ regime }) => REGIMES.indexOf(regime)))] ?? first.regime,
    dayZero,
    lastDay,
    timeZone: first.timeZone,
    checks: inOrderOfDueTime(
      withMidwaySupport(joinChecks(plans.flatMap(({ checks }) => checks)), { ...first, dayZero, lastDay }),
    ),
    restrictions: joinRestrictions(plans.flatMap(({ restrictions }) => restrictions)),
    thresholds: distinct(plans.flatMap(({ thresholds }) => thresholds)),
    symptoms: joinSymptoms(plans.flatMap(({ symptoms }) => symptoms)),
    cautions: distinct(plans.flatMap(({ cautions }) => cautions)),
  };
}

/** Whether the plan has a window at all. */
function asksForFollowUp({ checks }: Pick<FollowUpPlan, 'checks'>): boolean {
  return checks.some(({ kind }) => kind === 'release');
}

const least = (dates: readonly LocalDate[]) => dates.reduce((a, b) => (b < a ? b : a));
const greatest = (dates: readonly LocalDate[]) => dates.reduce((a, b) => (b > a ? b : a));

function distinct<T>(values: readonly T[]): readonly T[] {
  return [...new Map(values.map((value) => [JSON.stringify(value), value])).values()];
}

/** The middle of the joined window is not the middle of any one of them. */
function withMidwaySupport(
  checks: readonly PlannedCheck[],
  window: Pick<FollowUpPlan, 'dayZero' | 'lastDay' | 'timeZone'>,
): readonly PlannedCheck[] {
  const offered = checks.find(({ key }) => key === checkKey.support(1));
  const midway = offered && supportMidway({ ...window, profile: offered.profile });
  return [...checks.filter(({ key }) => key !== checkKey.support(2)), ...(midway ? [midway] : [])];
}

/** The same restriction over touching or overlapping days is one; over separate days it is two. */
function joinRestrictions(restrictions: readonly PlannedRestriction[]): readonly PlannedRestriction[] {
  const joined: PlannedRestriction[] = [];
  for (const next of [...restrictions].sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : 0))) {
    const index = joined.findIndex((one) => same(one, next) && next.from <= addDays(one.until, 1));
    const touching = joined[index];
    if (touching) joined[index] = { ...touching, until: greatest([touching.until, next.until]) };
    else joined.push(next);
  }
  return joined;
}

function same(a: PlannedRestriction, b: PlannedRestriction): boolean {
  const identity = ({ from: _from, until: _until, ...rest }: PlannedRestriction) => JSON.stringify(rest);
  return identity(a) === identity(b);
}

/** One question a symptom, whichever wording sorts first. */
function joinSymptoms(symptoms: readonly Symptom[]): readonly Symptom[] {
  const joined = new Map<string, Symptom>();
  for (const symptom of symptoms) {
    const other = joined.get(symptom.code);
    if (!other || JSON.stringify(symptom) < JSON.stringify(other)) joined.set(symptom.code, symptom);
  }
  return [...joined.values()];
}
