import type { Reach } from '../access/access-matrix.js';
import type { Transaction } from '../ports/unit-of-work.js';
import type { LetterRecord } from '../records/followup.js';
import type { IncidentRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { Conflict, NotFound } from '../refusals.js';

/** The incident that a letter may be about for this reader. */
export async function incidentForLetter(
  tx: Transaction,
  incidentId: string,
  reach: Reach,
  actor: Actor,
): Promise<IncidentRecord> {
  const incident = await tx.incidents.find(incidentId);
  if (incident === null || (reach === 'own' && incident.personId !== actor.personId)) throw new NotFound('incident');
  return incident;
}

/** A letter with its incident; absent and not the reader's to see are the same answer. */
export async function letterWithIncident(
  tx: Transaction,
  letterId: string,
  reach: Reach,
  actor: Actor,
): Promise<{ readonly letter: LetterRecord; readonly incident: IncidentRecord }> {
  const letter = await tx.letters.find(letterId);
  const incident = letter && (await tx.incidents.find(letter.incidentId));
  if (!letter || !incident || (reach === 'own' && incident.personId !== actor.personId)) throw new NotFound('letter');
  return { letter, incident };
}

/** A draft says what stood when it was drafted; it is neither shown nor signed over something else. */
export function requireCurrent(letter: LetterRecord, incident: IncidentRecord): void {
  if (letter.revision === incident.revision) return;
  throw outdated();
}

export function outdated(): Conflict {
  return new Conflict('The incident has changed since this letter was drafted.', { accepted: 'a new draft' });
}
