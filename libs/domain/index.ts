export * from './refusal.js';
export * from './calendar/instant.js';
export { UnknownTimeZone, requireTimeZone } from './calendar/time-zone.js';
export { UnreadableInstant, requireInstant, compareInstants, addHours, inZone } from './calendar/moment.js';
export { UnreadableDate } from './calendar/civil-day.js';
export {
  requireLocalDate,
  localDateOf,
  addDays,
  daysBetween,
  daysRemaining,
  startOfDay,
  endOfDay,
} from './calendar/local-date.js';
export { slotOn, type ClockBand } from './calendar/slot.js';
export * from './decision/evidence.js';
export * from './decision/table.js';
export * from './decision/assessment.js';
export * from './barrier/ensemble.js';
export * from './barrier/happening.js';
export { ContradictoryFacts, UnknownLayer, UnknownStep } from './barrier/refusals.js';
export { deriveBarrier } from './barrier/derive-barrier.js';
export * from './followup/profile.js';
export * from './followup/plan.js';
export { DifferentTimeZones, NoExposure, UnknownCategory, UnusableBands } from './followup/refusals.js';
export { DEFAULT_READING_BANDS, requireBands } from './followup/reading-bands.js';
export { planFollowUp, type FollowUpRequest } from './followup/plan-followup.js';
export { joinPlans } from './followup/join-plans.js';
export { differPlans } from './followup/differ-plans.js';
export { nextReadingCheck, slotOf } from './followup/reading-slots.js';
export { strictestWork } from './followup/strictest-work.js';
export * from './monitoring/reading.js';
export { UnreadableTemperature, compareTemperature, plausibilityOf } from './monitoring/temperature.js';
export { ANTIPYRETIC_HOURS, judgeReading } from './monitoring/judge-reading.js';
export * from './decision/refusals.js';
export { compileTable, type CompiledTable } from './decision/compile.js';
export { MOST_NODES } from './decision/build.js';
export type { CompiledInput } from './decision/inputs.js';
export type { RankedCategory } from './decision/categories.js';
export { assess, classify } from './decision/assess.js';
export { checkTable, type Collision, type Counterexample, type DeadRule, type TableCheck } from './decision/prove.js';
export { worstFirst } from './decision/severity.js';
export { weakestGrade } from './decision/outcome.js';
