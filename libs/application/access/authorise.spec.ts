import { describe, expect, it } from '@jest/globals';
import { ROLES, type Actor } from '../records/people.js';
import { ACCESS_MATRIX, type Operation } from './access-matrix.js';
import { authorise } from './authorise.js';

const OPERATIONS = Object.keys(ACCESS_MATRIX) as Operation[];

function anActor(role: Actor['role']): Actor {
  return { siteId: 'site', role, accountId: 'account', personId: 'person', unitIds: [] };
}

function reachOf(role: Actor['role'], operation: Operation): string {
  try {
    return authorise(anActor(role), operation);
  } catch {
    return 'refused';
  }
}

describe('who may do what', () => {
  // Written out to be read by a person: a change here changes who sees what.
  it('is as it was agreed, operation by operation', () => {
    const table = OPERATIONS.map(
      (operation) => `${operation}: ${[...ROLES, 'worker' as const].map((role) => reachOf(role, operation)).join(' ')}`,
    );

    expect(table).toEqual([
      'session.read: own own own own own refused',
      'site.read: site site site site site refused',
      'settings.change: refused refused refused refused site refused',
      'people.create: refused refused refused refused accounts refused',
      'people.list: refused site refused refused accounts refused',
      'incident.report: own site refused refused refused refused',
      'incident.amend: own site refused refused refused refused',
      'incident.read: own site pseudonymous refused refused refused',
      'identity.confirm: refused site refused refused refused refused',
      'incident.determine: refused site refused refused refused refused',
      'source.read: refused site refused refused refused refused',
      'source.change: refused site refused refused refused refused',
      'letter.read: own site refused refused refused refused',
      'letter.draft: own site refused refused refused refused',
      'letter.sign: refused site refused refused refused refused',
      'plan.read: own site refused refused refused refused',
      'plan.release: refused site refused refused refused refused',
      'check.complete: refused site refused refused refused refused',
      'reading.record: own site refused refused refused refused',
      'reading.read: own site refused refused refused refused',
      'alert.read: refused site refused refused refused refused',
      'alert.answer: refused site refused refused refused refused',
      'alert.raise-due: refused refused refused refused refused machine',
      'duty-status.read: refused site counts own-team refused refused',
      'insight.count: refused counts counts refused refused refused',
      'table.read: site site site refused refused refused',
      'table.confirm: refused site refused refused refused refused',
    ]);
  });

  it('gives a manager nothing but the site’s name, the own session and the duty list', () => {
    expect(OPERATIONS.filter((operation) => reachOf('manager', operation) !== 'refused')).toEqual([
      'session.read',
      'site.read',
      'duty-status.read',
    ]);
  });

  it('lets the machine raise alerts and nothing else', () => {
    expect(OPERATIONS.filter((operation) => reachOf('worker', operation) !== 'refused')).toEqual(['alert.raise-due']);
  });
});
