import type { ReadingBands, TimeZone } from '#domain';

export const ROLES = ['wearer', 'nurse', 'infection-control', 'manager', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/** Who acts. `worker` is the machine itself: it may raise alerts and send notices, never decide. */
export interface Actor {
  readonly siteId: string;
  readonly role: Role | 'worker';
  readonly accountId: string | null;
  readonly personId: string | null;
  /** The units whose duty list a manager may read. */
  readonly unitIds: readonly string[];
}

export interface AccountRecord {
  readonly accountId: string;
  readonly siteId: string;
  readonly personId: string | null;
  readonly role: Role;
  readonly login: string;
  readonly unitIds: readonly string[];
}

export interface PersonRecord {
  readonly personId: string;
  readonly unitId: string;
  /** What infection control sees instead of a name. */
  readonly pseudonym: string;
  /** What a manager's table carries instead of the person's id: random, not ordered by time. */
  readonly rosterRef: string;
  readonly job: string;
  readonly timeZone: TimeZone;
}

/** Kept sealed under the person's own key. */
export interface PersonIdentity {
  readonly name: string;
  readonly staffNumber: string;
  readonly dateOfBirth: string | null;
  readonly telephone: string | null;
  readonly email: string | null;
}

/** Which table governs an agent at this site; the first rule that matches holds. */
export interface GoverningRule {
  readonly agent: string;
  readonly certainty: 'confirmed' | 'suspected' | 'any';
  readonly table: string;
  /** `<agent>/<authority>` or with `@version`. */
  readonly profile: string;
}

export interface SiteSettings {
  readonly emergency: { readonly words: string; readonly telephone: string };
  readonly occupationalHealth: { readonly telephone: string; readonly email: string };
  readonly onCallClinician: { readonly telephone: string } | null;
  readonly readingBands: ReadingBands;
  /** Minutes after a slot's end before a missing reading is an alert. */
  readonly readingGraceMinutes: number;
  /** Minutes for which an acknowledgement pauses an alert. */
  readonly acknowledgementPauseMinutes: number;
  readonly governing: readonly GoverningRule[];
}

export interface SiteRecord {
  readonly siteId: string;
  readonly slug: string;
  readonly name: string;
  readonly timeZone: TimeZone;
  readonly settings: SiteSettings;
}

export interface UnitRecord {
  readonly unitId: string;
  readonly name: string;
  readonly ensembleId: string;
  readonly ensembleVersion: string;
}

/** A named clinician has looked up the remembered rows of a table or ensemble and lets it go live here. */
export interface LocalConfirmation {
  readonly subject: string;
  readonly version: string;
  readonly hash: string;
  readonly confirmedBy: string;
  /** As it was signed; everybody who works by the table may read who stands for it. */
  readonly confirmedByName: string;
  readonly at: string;
}
