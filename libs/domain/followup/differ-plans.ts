import { compareInstants } from '../calendar/moment.js';
import { compareTemperature } from '../monitoring/temperature.js';
import { movablePart, unversioned } from './check-keys.js';
import type { FollowUpPlan, PlanDifference, PlannedCheck, PlannedRestriction } from './plan.js';
import { REGIMES, PERMITTED_WORK } from './profile.js';

type Move = PlanDifference['moved'][number];

/**
 * What changes when `next` takes the place of `current`. What is done stays, whatever the next plan says. A test or a
 * prophylaxis whose exposure turns out to have been on another day has moved; a reading of a day that is no longer
 * monitored is removed.
 */
export function differPlans(current: FollowUpPlan, next: FollowUpPlan, doneKeys: ReadonlySet<string>): PlanDifference {
  const nextByKey = new Map(next.checks.map((check) => [check.key, check]));
  const currentKeys = new Set(current.checks.map(({ key }) => key));
  const unchanged: PlannedCheck[] = [];
  const moved: Move[] = [];
  const gone: PlannedCheck[] = [];
  for (const from of current.checks) {
    const to = nextByKey.get(from.key);
    if (doneKeys.has(from.key)) unchanged.push(from);
    else if (!to) gone.push(from);
    else if (sameDue(from, to)) unchanged.push(to);
    else moved.push({ from, to });
  }
  const come = next.checks.filter(({ key }) => !currentKeys.has(key));
  const shifted = pairMoves(gone, come);
  moved.push(...shifted);

  const removed = gone.filter((check) => !shifted.some(({ from }) => from === check));
  const restrictionsRemoved = current.restrictions.filter((one) => !next.restrictions.some((two) => covers(two, one)));
  return {
    added: come.filter((check) => !shifted.some(({ to }) => to === check)),
    removed,
    moved,
    unchanged,
    restrictionsAdded: next.restrictions.filter((one) => !current.restrictions.some((two) => covers(two, one))),
    restrictionsRemoved,
    onlyTightens:
      removed.length === 0 && restrictionsRemoved.length === 0 && !moved.some(eases) && !easesMonitoring(current, next),
  };
}

function sameDue(a: PlannedCheck, b: PlannedCheck): boolean {
  return compareInstants(a.dueFrom, b.dueFrom) === 0 && compareInstants(a.dueUntil, b.dueUntil) === 0;
}

/** The same part of a profile, gone on one day and come on another; several of them in the order of their days. */
function pairMoves(gone: readonly PlannedCheck[], come: readonly PlannedCheck[]): readonly Move[] {
  const waiting = Map.groupBy(come, movablePart);
  return gone.flatMap((from) => {
    const part = movablePart(from);
    const to = part === null ? undefined : waiting.get(part)?.shift();
    return to ? [{ from, to }] : [];
  });
}

function covers(wide: PlannedRestriction, narrow: PlannedRestriction): boolean {
  return (
    wide.code === narrow.code &&
    unversioned(wide.profile) === unversioned(narrow.profile) &&
    PERMITTED_WORK.indexOf(wide.work) >= PERMITTED_WORK.indexOf(narrow.work) &&
    wide.from <= narrow.from &&
    wide.until >= narrow.until
  );
}

/** A later deadline or an earlier release. Slots, support and the reminder follow the clock and the window. */
function eases({ from, to }: Move): boolean {
  switch (from.kind) {
    case 'release':
      return compareInstants(to.dueFrom, from.dueFrom) < 0;
    case 'test':
    case 'prophylaxis':
      return compareInstants(to.dueUntil, from.dueUntil) > 0;
    case 'review':
      return from.ordinal === 1 && compareInstants(to.dueUntil, from.dueUntil) > 0;
    case 'reading':
    case 'contact':
    case 'support':
      return false;
  }
}

function easesMonitoring(current: FollowUpPlan, next: FollowUpPlan): boolean {
  const asked = new Set(next.symptoms.map(({ code }) => code));
  return (
    REGIMES.indexOf(next.regime) < REGIMES.indexOf(current.regime) ||
    current.symptoms.some(({ code }) => !asked.has(code)) ||
    current.thresholds.some((one) => !next.thresholds.some((two) => atLeastAsStrict(two, one)))
  );
}

type PlanThreshold = FollowUpPlan['thresholds'][number];

/** Every fever by `wide` would also be one by `strict`. */
function atLeastAsStrict(strict: PlanThreshold, wide: PlanThreshold): boolean {
  const order = compareTemperature(strict.value, strict.unit, wide.value, wide.unit);
  return (
    (order < 0 || (order === 0 && (strict.operator === '>=' || wide.operator === '>'))) &&
    strict.readings <= wide.readings &&
    (strict.feltFeverCounts || !wide.feltFeverCounts)
  );
}
