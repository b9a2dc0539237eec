import { compareInstants } from '../calendar/moment.js';
import { weakestGrade } from '../decision/outcome.js';
import type { PlannedCheck } from './plan.js';

const SEPARATOR = ' + ';

/** The names in several such lists, once each, in alphabetical order. */
export function joinNames(lists: readonly string[]): string {
  return [...new Set(lists.flatMap((list) => list.split(SEPARATOR)))].sort().join(SEPARATOR);
}

/**
 * Checks of several plans, one for each identity. Where two plans ask for the same thing the stricter one stands, with
 * the names of all the profiles that ask and the weakest of their grades.
 */
export function joinChecks(checks: readonly PlannedCheck[]): readonly PlannedCheck[] {
  const joined = new Map<string, PlannedCheck>();
  for (const check of checks) {
    const other = joined.get(check.key);
    joined.set(check.key, other ? merge(other, check) : check);
  }
  return [...joined.values()];
}

function merge(a: PlannedCheck, b: PlannedCheck): PlannedCheck {
  return {
    ...(stricterFirst(a, b) <= 0 ? a : b),
    profile: joinNames([a.profile, b.profile]),
    grade: weakestGrade([a.grade, b.grade]),
  };
}

/** A total order that looks at neither profile nor grade, so that joining does not depend on who comes first. */
function stricterFirst(a: PlannedCheck, b: PlannedCheck): number {
  return strictness(a, b) || (wording(a) < wording(b) ? -1 : wording(a) > wording(b) ? 1 : 0);
}

function strictness(a: PlannedCheck, b: PlannedCheck): number {
  const earlierStart = compareInstants(a.dueFrom, b.dueFrom);
  const earlierEnd = compareInstants(a.dueUntil, b.dueUntil);
  switch (a.kind) {
    // The narrower slot of the more frequent regime.
    case 'reading':
    case 'contact':
      return -earlierStart || earlierEnd;
    // The window ends with the later one.
    case 'release':
      return -earlierStart || -earlierEnd;
    case 'support':
    case 'review':
      return a.ordinal === 1 ? earlierStart || earlierEnd : -earlierStart || -earlierEnd;
    case 'test':
    case 'prophylaxis':
      return earlierEnd || -earlierStart;
  }
}

function wording({ label, source, localDate }: PlannedCheck): string {
  const { body, title, year, section, address } = source;
  return JSON.stringify([label, localDate, body, title, year, section, address]);
}
