export * from './refusal.js';
export * from './calendar/instant.js';
export { UnknownTimeZone, requireTimeZone } from './calendar/time-zone.js';
export { UnreadableInstant, requireInstant, compareInstants, addHours, inZone } from './calendar/moment.js';
export {
  UnreadableDate,
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
export * from './monitoring/reading.js';
export { UnreadableTemperature, compareTemperature, plausibilityOf } from './monitoring/temperature.js';
export { ANTIPYRETIC_HOURS, judgeReading } from './monitoring/judge-reading.js';
