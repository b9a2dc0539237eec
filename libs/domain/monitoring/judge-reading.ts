import { addHours, compareInstants } from '../calendar/moment.js';
import type { FollowUpPlan } from '../followup/plan.js';
import type { TemperatureUnit } from '../followup/profile.js';
import type { Reading, ReadingJudgement } from './reading.js';
import { compareTemperature, plausibilityOf } from './temperature.js';

/** How long an antipyretic may hide a fever. Common practice, from memory: the interval between two doses. */
export const ANTIPYRETIC_HOURS = 6;

type Monitored = Pick<FollowUpPlan, 'thresholds' | 'symptoms'>;
type PlanThreshold = Monitored['thresholds'][number];

const UNIT_WORDS: Readonly<Record<TemperatureUnit, string>> = { Cel: '°C', '[degF]': '°F' };

/**
 * What one reading means under a plan. `earlier` holds the person's other readings in any order: a two-reading rule looks
 * at the neighbours in time, so that a paper diary entered late is judged as if it had been entered in order.
 */
export function judgeReading(reading: Reading, plan: Monitored, earlier: readonly Reading[]): ReadingJudgement {
  const plausibility = reading.value === null ? 'plausible' : plausibilityOf(reading.value, reading.unit);
  const believed = plausibility === 'plausible';

  const fever = [
    ...(believed ? plan.thresholds.flatMap((threshold) => thresholdReason(reading, threshold, earlier)) : []),
    ...feltFeverReasons(reading, plan.thresholds),
  ];
  const symptoms = [...symptomReasons(reading, plan), ...uncountedFeltFever(reading, plan.thresholds)];
  const implausible = believed
    ? []
    : ['The temperature is not one that a person has: ask again and record the answer.'];
  const alert =
    fever.length > 0 ? 'fever' : symptoms.length > 0 ? 'symptom' : implausible.length > 0 ? 'implausible' : null;

  const doubts = alert ? [] : doubtsAbout(reading, plan, earlier);
  return {
    alert,
    reasons: [...fever, ...symptoms, ...implausible, ...doubts],
    reassuring: alert === null && doubts.length === 0,
    plausibility,
  };
}

function meets(reading: Reading, { value, unit, operator }: PlanThreshold): boolean {
  if (reading.value === null) return false;
  const order = compareTemperature(reading.value, reading.unit, value, unit);
  return operator === '>' ? order > 0 : order >= 0;
}

function thresholdWords({ value, unit, operator, profile }: PlanThreshold): string {
  return `${operator === '>' ? 'over' : 'at or over'} ${value} ${UNIT_WORDS[unit]} (${profile})`;
}

function thresholdReason(reading: Reading, threshold: PlanThreshold, others: readonly Reading[]): readonly string[] {
  if (!meets(reading, threshold)) return [];
  if (threshold.readings === 1) return [`The temperature is ${thresholdWords(threshold)}.`];
  return neighbours(reading, others).some((other) => meets(other, threshold))
    ? [`Two successive temperatures are ${thresholdWords(threshold)}.`]
    : [];
}

/** The measured readings next before and next after this one. */
function neighbours(reading: Reading, others: readonly Reading[]): readonly Reading[] {
  const measured = others
    .filter((other) => other.value !== null && compareInstants(other.at, reading.at) !== 0)
    .sort((a, b) => compareInstants(a.at, b.at));
  const before = measured.filter((other) => compareInstants(other.at, reading.at) < 0).at(-1);
  const after = measured.find((other) => compareInstants(other.at, reading.at) > 0);
  return [before, after].filter((other) => other !== undefined);
}

function feltFeverReasons(reading: Reading, thresholds: readonly PlanThreshold[]): readonly string[] {
  if (reading.feltFever !== 'yes') return [];
  return thresholds
    .filter(({ feltFeverCounts }) => feltFeverCounts)
    .map(({ profile }) => `A fever was felt, which counts as a fever (${profile}).`);
}

/** Where no authority counts a felt fever as a fever, it is still something that the person told us. */
function uncountedFeltFever(reading: Reading, thresholds: readonly PlanThreshold[]): readonly string[] {
  if (reading.feltFever !== 'yes' || thresholds.some(({ feltFeverCounts }) => feltFeverCounts)) return [];
  return ['A fever was felt, which this plan does not count as a fever: it is put to a human as a symptom.'];
}

function symptomReasons(reading: Reading, { symptoms }: Monitored): readonly string[] {
  return symptoms
    .filter(({ code }) => reading.symptoms.includes(code))
    .map(({ words }) => `A symptom that this plan asks about: ${words}.`);
}

/** Why a reading that raises no alert still tells nobody that the person is well. */
function doubtsAbout(reading: Reading, plan: Monitored, earlier: readonly Reading[]): readonly string[] {
  const doubts: string[] = [];
  if (reading.value === null) doubts.push('No temperature was measured.');
  for (const threshold of plan.thresholds) {
    if (threshold.readings === 2 && meets(reading, threshold)) {
      doubts.push(`The temperature is ${thresholdWords(threshold)} once; a second one in succession is a fever.`);
    }
  }
  if (reading.symptoms.some((code) => !plan.symptoms.some((symptom) => symptom.code === code))) {
    doubts.push('A symptom was named that this plan does not ask about.');
  }
  if (reading.feltFever === 'unknown') doubts.push('Nobody said whether a fever was felt.');
  if (reading.antipyreticTaken === 'yes' || antipyreticBefore(reading, earlier)) {
    doubts.push('An antipyretic was taken, which can hide a fever: the reading counts as taken, not as reassuring.');
  } else if (reading.antipyreticTaken === 'unknown') {
    doubts.push('Nobody said whether an antipyretic was taken, which can hide a fever.');
  }
  return doubts;
}

function antipyreticBefore(reading: Reading, earlier: readonly Reading[]): boolean {
  const since = addHours(reading.at, -ANTIPYRETIC_HOURS);
  return earlier.some(
    ({ at, antipyreticTaken }) =>
      antipyreticTaken === 'yes' && compareInstants(at, since) > 0 && compareInstants(at, reading.at) < 0,
  );
}
