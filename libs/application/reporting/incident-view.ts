import type { IncidentRecord, TellingRecord } from '../records/incident.js';
import type { PersonIdentity, PersonRecord } from '../records/people.js';

/** Whose incident it is, as far as the reader may know. */
export interface WearerView {
  /** Null without identity. */
  readonly personId: string | null;
  readonly pseudonym: string;
  readonly job: string;
  readonly name: string | null;
  readonly staffNumber: string | null;
  readonly telephone: string | null;
}

export interface IncidentView extends Omit<IncidentRecord, 'personId' | 'reportedByAccount'> {
  readonly wearer: WearerView;
  readonly unitName: string;
  /** Pseudonym of the source. */
  readonly source: string | null;
}

export type TellingView = Omit<TellingRecord, 'byAccount'>;

/** Without `identity` the view is pseudonymous. */
export function viewWearer(person: PersonRecord, identity: PersonIdentity | null): WearerView {
  return {
    personId: identity === null ? null : person.personId,
    pseudonym: person.pseudonym,
    job: person.job,
    name: identity?.name ?? null,
    staffNumber: identity?.staffNumber ?? null,
    telephone: identity?.telephone ?? null,
  };
}
