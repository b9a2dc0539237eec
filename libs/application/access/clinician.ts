import type { Actor } from '../records/people.js';

/** A nurse acts as a clinician for everybody but themselves. */
export function isClinicianFor({ role, personId }: Actor, wearerId: string): boolean {
  return role === 'nurse' && personId !== wearerId;
}
