import type { LocalDate } from '../calendar/instant.js';
import type { PlannedCheck, Slot } from './plan.js';

/**
 * The identity of a check within (site, person, episode). It holds no due time, so that a plan computed again finds what
 * was already done. One thermometer reading, contact, review or release serves every profile of a person, so their keys
 * name none; a test or a prophylaxis belongs to one agent by one authority, whatever the version, and to its exposure.
 */
export const checkKey = {
  reading: (date: LocalDate, slot: Slot) => `reading/${date}/${slot}`,
  contact: (date: LocalDate, ordinal: number) => `contact/${date}/${ordinal}`,
  test: (profile: string, code: string, day: number, date: LocalDate) =>
    `test/${unversioned(profile)}/${code}/${day}/${date}`,
  prophylaxis: (profile: string, code: string, exposedOn: LocalDate) =>
    `prophylaxis/${unversioned(profile)}/${code}/${exposedOn}`,
  review: (ordinal: 1 | 2) => `review/${ordinal}`,
  support: (ordinal: 1 | 2 | 3) => `support/${ordinal}`,
  release: () => 'release',
} as const;

/** `ebola/cdc@2014` without its version. */
export function unversioned(profile: string): string {
  return profile.split('@', 1)[0] ?? profile;
}

/** What stays the same of a test or a prophylaxis when its exposure turns out to have been on another day. */
export function movablePart({ kind, key }: PlannedCheck): string | null {
  return kind === 'test' || kind === 'prophylaxis' ? key.slice(0, key.lastIndexOf('/')) : null;
}
