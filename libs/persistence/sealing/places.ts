import type { Place } from './envelope.js';

export const siteKeyPlace = (siteId: string): Place => ['site_key', 'wrapped', siteId];
export const personKeyPlace = (siteId: string, personId: string): Place => ['person_key', 'wrapped', siteId, personId];
export const identityPlace = (siteId: string, personId: string): Place => [
  'person_identity',
  'sealed',
  siteId,
  personId,
];
export const namePlace = (siteId: string, personId: string): Place => ['person_name', 'sealed', siteId, personId];
export const tellingPlace = (siteId: string, incidentId: string, revision: number): Place => [
  'telling_text',
  'sealed',
  siteId,
  incidentId,
  String(revision),
];
export const determinationPlace = (siteId: string, determinationId: string): Place => [
  'determination_text',
  'sealed',
  siteId,
  determinationId,
];
export const decidedPlace = (siteId: string, alertId: string): Place => ['alert_text', 'sealed', siteId, alertId];
export const letterPlace = (siteId: string, letterId: string): Place => ['letter_pdf', 'sealed', siteId, letterId];
export const releasePlace = (siteId: string, planId: string, releasedAt: string): Place => [
  'plan_release',
  'sealed',
  siteId,
  planId,
  releasedAt,
];
