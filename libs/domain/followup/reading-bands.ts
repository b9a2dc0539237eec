import type { ClockBand } from '../calendar/slot.js';
import type { ReadingBands } from './plan.js';
import { UnusableBands } from './refusals.js';

/** Common practice, from memory: before and after a day's work. A site sets its own. */
export const DEFAULT_READING_BANDS: ReadingBands = {
  morning: { from: '06:00', until: '10:00' },
  evening: { from: '18:00', until: '22:00' },
};

const CLOCK = /^([01]\d|2[0-3]):[0-5]\d$/;

/** The bands themselves, or `UnusableBands`. */
export function requireBands(bands: ReadingBands): ReadingBands {
  const { morning, evening } = bands;
  const inOrder = [morning.from, morning.until, evening.from, evening.until].every((clock) => CLOCK.test(clock));
  if (!inOrder || morning.from >= morning.until || morning.until > evening.from || evening.from >= evening.until) {
    throw new UnusableBands();
  }
  return bands;
}

/** Where one reading or one contact a day is asked for, the whole day between the bands is open to it. */
export function wholeDay({ morning, evening }: ReadingBands): ClockBand {
  return { from: morning.from, until: evening.until };
}
