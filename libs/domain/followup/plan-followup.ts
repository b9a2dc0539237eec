import type { Instant, LocalDate, TimeZone } from '../calendar/instant.js';
import {
  addDays,
  daysBetween,
  dateExists,
  endOfDay,
  localDateOf,
  nextExistingDate,
  startOfDay,
} from '../calendar/local-date.js';
import { addHours, compareInstants, inZone, requireInstant } from '../calendar/moment.js';
import { slotOn, type ClockBand } from '../calendar/slot.js';
import { requireTimeZone } from '../calendar/time-zone.js';
import { weakestGrade } from '../decision/outcome.js';
import { NOT_CLASSIFIED } from '../decision/table.js';
import { checkKey } from './check-keys.js';
import { inOrderOfDueTime } from './check-order.js';
import { COMMON_PRACTICE } from './common-practice.js';
import { planCautions } from './plan-cautions.js';
import type { FollowUpPlan, PlannedCheck, ReadingBands, Slot } from './plan.js';
import type { AgentProfile, CategoryPlan } from './profile.js';
import { DEFAULT_READING_BANDS, requireBands, wholeDay } from './reading-bands.js';
import { NoExposure, UnknownCategory } from './refusals.js';
import { releaseChecks, sourceOf, supportMidway, supportOn } from './window-checks.js';

/** What a plan is made from. */
export interface FollowUpRequest {
  readonly profile: AgentProfile;
  /** An id among the profile's categories. Absent or `not-classified` takes the strictest: nobody eases what nobody knows. */
  readonly category?: string | null;
  /** Every known exposure; the ends of an interval where the time is not known exactly. In any order. */
  readonly exposures: readonly Instant[];
  readonly timeZone: TimeZone;
  readonly bands?: ReadingBands;
}

/** All that the parts of a plan are computed from. */
interface Basis {
  readonly profile: AgentProfile;
  readonly category: CategoryPlan;
  readonly timeZone: TimeZone;
  readonly bands: ReadingBands;
  /** Hour limits run from here. */
  readonly firstExposure: Instant;
  readonly lastExposure: Instant;
  /** The exposure that day 0 is the date of. */
  readonly anchor: Instant;
  readonly dayZero: LocalDate;
  readonly lastDay: LocalDate;
}

/**
 * The schedule after an exposure. Day 0 is the local date of the exposure that the profile counts from, the last reading
 * is in the evening of day N, and window and restrictions end with that day; hours run from the earliest exposure.
 *
 * @example planFollowUp({ profile, exposures: ['2026-10-20T08:00:00+01:00'], timeZone: 'Europe/London' }).lastDay // '2026-11-10'
 */
export function planFollowUp(request: FollowUpRequest): FollowUpPlan {
  const { profile } = request;
  const assumed = request.category == null || request.category === NOT_CLASSIFIED;
  const categoryId = assumed ? profile.strictest : (request.category as string);
  const basis = basisOf(request, categoryOf(profile, categoryId));
  const { category, dayZero, lastDay, timeZone } = basis;
  const checks = category.followUp
    ? [
        ...readingChecks(basis),
        ...contactChecks(basis),
        ...testChecks(basis),
        ...prophylaxisChecks(basis),
        firstReview(basis, 'Confirm identity, category and this plan', COMMON_PRACTICE),
        ...windowChecks(basis),
      ]
    : [firstReview(basis, noFollowUpWords(basis), category)];
  // Where nothing is asked for there is no window to wait out.
  const until = category.followUp ? lastDay : dayZero;
  return {
    profiles: [profile.id],
    category: categoryId,
    regime: category.followUp ? category.regime : 'none',
    dayZero,
    lastDay: until,
    timeZone,
    checks: inOrderOfDueTime(checks),
    restrictions: category.restrictions.map((restriction) => ({
      code: restriction.code,
      words: restriction.words,
      work: restriction.work,
      profile: profile.id,
      from: dayZero,
      until,
      source: sourceOf(restriction),
      grade: restriction.grade,
    })),
    thresholds: [{ ...profile.threshold, profile: profile.id }],
    symptoms: profile.symptoms,
    cautions: planCautions({ profile, category, assumed, dayZero, lastDay: until, timeZone, checks }),
  };
}

function categoryOf(profile: AgentProfile, id: string): CategoryPlan {
  const category = Object.hasOwn(profile.categories, id) ? profile.categories[id] : undefined;
  if (!category) throw new UnknownCategory(Object.keys(profile.categories));
  return category;
}

function basisOf({ profile, exposures, timeZone, bands }: FollowUpRequest, category: CategoryPlan): Basis {
  const zone = requireTimeZone(timeZone);
  const sorted = exposures.map((at, index) => requireInstant(at, `/exposures/${index}`)).sort(compareInstants);
  const [firstExposure, lastExposure] = [sorted.at(0), sorted.at(-1)];
  if (firstExposure === undefined || lastExposure === undefined) throw new NoExposure();
  const anchor = profile.window.from === 'first-exposure' ? firstExposure : lastExposure;
  const dayZero = localDateOf(anchor, zone);
  return {
    profile,
    category,
    timeZone: zone,
    bands: requireBands(bands ?? DEFAULT_READING_BANDS),
    firstExposure,
    lastExposure,
    anchor,
    dayZero,
    // A day N that the zone skipped has no evening to take the last reading in: the next day has.
    lastDay: nextExistingDate(addDays(dayZero, profile.window.days), zone),
  };
}

function datesOf({ dayZero, lastDay, timeZone }: Basis): readonly LocalDate[] {
  return Array.from({ length: daysBetween(dayZero, lastDay) + 1 }, (_, day) => addDays(dayZero, day)).filter((date) =>
    dateExists(date, timeZone),
  );
}

function slotsOfDay(perDay: 0 | 1 | 2, bands: ReadingBands): readonly (readonly [Slot, ClockBand])[] {
  if (perDay === 0) return [];
  // Once a day is the evening slot, open all day, so that the last one falls in the evening of day N.
  if (perDay === 1) return [['evening', wholeDay(bands)]];
  return [
    ['morning', bands.morning],
    ['evening', bands.evening],
  ];
}

function readingChecks(basis: Basis): readonly PlannedCheck[] {
  const { profile, category, timeZone, bands, anchor } = basis;
  return datesOf(basis).flatMap((date) =>
    slotsOfDay(category.readingsPerDay, bands).flatMap(([slot, band]) => {
      const due = slotOn(date, timeZone, band);
      // On day 0 a slot that had passed when the exposure ended cannot be asked for.
      if (!due || compareInstants(due.until, anchor) <= 0) return [];
      return {
        key: checkKey.reading(date, slot),
        kind: 'reading' as const,
        profile: profile.id,
        localDate: date,
        slot,
        ordinal: slot === 'morning' ? 1 : 2,
        dueFrom: due.from,
        dueUntil: due.until,
        label: `Temperature and symptoms, ${category.readingsPerDay === 1 ? 'once today' : slot}`,
        source: sourceOf(category),
        grade: weakestGrade([category.grade, profile.window.grade]),
      };
    }),
  );
}

/** From day 1: on day 0 the report itself is the contact. */
function contactChecks(basis: Basis): readonly PlannedCheck[] {
  const { profile, category, timeZone, bands, dayZero } = basis;
  const observed = category.regime === 'direct-active';
  return datesOf(basis)
    .filter((date) => date > dayZero)
    .flatMap((date) =>
      slotsOfDay(category.contactsPerDay, bands).flatMap(([, band], index) => {
        const due = slotOn(date, timeZone, band);
        if (!due) return [];
        return {
          key: checkKey.contact(date, index + 1),
          kind: 'contact' as const,
          profile: profile.id,
          localDate: date,
          slot: null,
          ordinal: index + 1,
          dueFrom: due.from,
          dueUntil: due.until,
          label: observed && index === 0 ? 'See and speak to the person' : 'Speak to the person',
          source: sourceOf(category),
          grade: weakestGrade([category.grade, profile.window.grade]),
        };
      }),
    );
}

function testChecks({ profile, timeZone, dayZero, anchor }: Basis): readonly PlannedCheck[] {
  return profile.tests.map((test) => {
    const date = addDays(dayZero, test.day);
    const opens = startOfDay(addDays(date, -test.toleranceDays), timeZone);
    return {
      key: checkKey.test(profile.id, test.code, test.day, date),
      kind: 'test' as const,
      profile: profile.id,
      localDate: date,
      slot: null,
      ordinal: test.day,
      dueFrom: compareInstants(opens, anchor) < 0 ? inZone(anchor, timeZone) : opens,
      dueUntil: endOfDay(addDays(date, test.toleranceDays), timeZone),
      label: test.words,
      source: sourceOf(test),
      grade: test.grade,
    };
  });
}

/** Counted in elapsed hours from the earliest exposure: a deadline for asking a prescriber, never an order. */
function prophylaxisChecks({ profile, timeZone, firstExposure }: Basis): readonly PlannedCheck[] {
  return profile.prophylaxis.map((limit, index) => {
    const dueUntil = inZone(addHours(firstExposure, limit.withinHours), timeZone);
    return {
      key: checkKey.prophylaxis(profile.id, limit.code, localDateOf(firstExposure, timeZone)),
      kind: 'prophylaxis' as const,
      profile: profile.id,
      localDate: localDateOf(dueUntil, timeZone),
      slot: null,
      ordinal: index + 1,
      dueFrom: inZone(firstExposure, timeZone),
      dueUntil,
      label: `${limit.words} (until ${limit.withinHours} hours after the earliest exposure)`,
      source: sourceOf(limit),
      grade: limit.grade,
    };
  });
}

/** Due by the end of the next day. */
function firstReview(
  { profile, timeZone, lastExposure }: Basis,
  label: string,
  evidence: CategoryPlan | typeof COMMON_PRACTICE,
): PlannedCheck {
  const date = localDateOf(lastExposure, timeZone);
  return {
    key: checkKey.review(1),
    kind: 'review',
    profile: profile.id,
    localDate: date,
    slot: null,
    ordinal: 1,
    dueFrom: inZone(lastExposure, timeZone),
    dueUntil: endOfDay(addDays(date, 1), timeZone),
    label,
    source: sourceOf(evidence),
    grade: evidence.grade,
  };
}

function noFollowUpWords({ lastDay }: Basis): string {
  return `Confirm that no follow-up is asked for, and that any illness until ${lastDay} is to be reported`;
}

function windowChecks({ profile, timeZone, dayZero, lastDay, anchor }: Basis): readonly PlannedCheck[] {
  const window = { dayZero, lastDay, timeZone, profile: profile.id };
  const midway = supportMidway(window);
  return [
    { ...supportOn(1, dayZero, window), dueFrom: inZone(anchor, timeZone) },
    ...(midway ? [midway] : []),
    supportOn(3, lastDay, window),
    ...releaseChecks(window, profile.window),
  ];
}
