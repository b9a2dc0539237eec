import type { IncidentRecord, TellingRecord } from '../records/incident.js';

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
