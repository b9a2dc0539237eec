import type { Actor } from '../records/people.js';

/**
 * How far a role reaches. `own`: only what is about the actor's own person. `site`: everything of the own site, with
 * identity. `pseudonymous`: everything of the own site without identity and free text. `own-team`: the units the account is
 * for. `counts`: numbers only. `accounts`: accounts without a clinical fact. `machine`: the worker's part.
 */
export type Reach = 'own' | 'site' | 'pseudonymous' | 'own-team' | 'counts' | 'accounts' | 'machine';

/** Who may do what. What is not listed is not allowed: a new operation starts closed. */
export const ACCESS_MATRIX = {
  'session.read': { wearer: 'own', nurse: 'own', 'infection-control': 'own', manager: 'own', administrator: 'own' },
  'site.read': { wearer: 'site', nurse: 'site', 'infection-control': 'site', manager: 'site', administrator: 'site' },
  'settings.change': { administrator: 'site' },
  'people.create': { administrator: 'accounts' },
  'people.list': { nurse: 'site', administrator: 'accounts' },

  /** Own, or as the buddy of another wearer: then only the advice comes back. */
  'incident.report': { wearer: 'own', nurse: 'site' },
  'incident.amend': { wearer: 'own', nurse: 'site' },
  'incident.read': { wearer: 'own', nurse: 'site', 'infection-control': 'pseudonymous' },
  'identity.confirm': { nurse: 'site' },
  'incident.determine': { nurse: 'site' },

  'source.read': { nurse: 'site' },
  'source.change': { nurse: 'site' },

  'letter.read': { wearer: 'own', nurse: 'site' },
  'letter.draft': { wearer: 'own', nurse: 'site' },
  'letter.sign': { nurse: 'site' },

  'plan.read': { wearer: 'own', nurse: 'site' },
  'plan.release': { nurse: 'site' },
  'check.complete': { nurse: 'site' },
  'reading.record': { wearer: 'own', nurse: 'site' },
  'reading.read': { wearer: 'own', nurse: 'site' },
  'alert.read': { nurse: 'site' },
  'alert.answer': { nurse: 'site' },
  'alert.raise-due': { worker: 'machine' },

  'duty-status.read': { nurse: 'site', 'infection-control': 'counts', manager: 'own-team' },
  'insight.count': { nurse: 'counts', 'infection-control': 'counts' },

  'table.read': { wearer: 'site', nurse: 'site', 'infection-control': 'site' },
  'table.confirm': { nurse: 'site' },
} as const satisfies Record<string, Partial<Record<Actor['role'], Reach>>>;

export type Operation = keyof typeof ACCESS_MATRIX;
