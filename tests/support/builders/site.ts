import { randomUUID } from 'node:crypto';
import { v7 } from 'uuid';
import type { Actor, PersonRecord, Role, SiteRecord, SiteSettings, UnitOfWork } from '#application';

/** Settings of an invented hospital. */
export function settings(changes: Partial<SiteSettings> = {}): SiteSettings {
  return {
    emergency: { words: 'Call the emergency team', telephone: '2222' },
    occupationalHealth: { telephone: '+44 1632 960001', email: 'oh@hospital.example' },
    onCallClinician: { telephone: '+44 1632 960002' },
    readingBands: { morning: { from: '06:00', until: '10:00' }, evening: { from: '18:00', until: '22:00' } },
    readingGraceMinutes: 60,
    acknowledgementPauseMinutes: 30,
    governing: [],
    ...changes,
  };
}

/** Somebody of a site, with the account that acts for them. */
export interface TestPerson extends PersonRecord {
  readonly name: string;
  readonly staffNumber: string;
  readonly actor: Actor;
}

/** A site with two units and somebody in every role; `wearer` and `buddy` work in `ward`, `neighbour` in `other`. */
export interface TestSite {
  readonly site: SiteRecord;
  readonly ward: string;
  readonly other: string;
  readonly wearer: TestPerson;
  readonly buddy: TestPerson;
  readonly neighbour: TestPerson;
  readonly nurse: TestPerson;
  readonly secondNurse: TestPerson;
  readonly infectionControl: Actor;
  /** Reads the duty list of `ward`. */
  readonly manager: Actor;
  readonly administrator: Actor;
  readonly worker: Actor;
}

/** Enters a whole site through the ports, as an administrator would. */
export async function enterSite(work: UnitOfWork, slug = `site-${randomUUID().slice(0, 8)}`): Promise<TestSite> {
  const siteId = randomUUID();
  const site: SiteRecord = { siteId, slug, name: `Hospital ${slug}`, timeZone: 'Europe/London', settings: settings() };
  const actor = (role: Actor['role'], changes: Partial<Actor> = {}): Actor => ({
    siteId,
    role,
    accountId: role === 'worker' ? null : v7(),
    personId: null,
    unitIds: [],
    ...changes,
  });
  const [ward, other] = [v7(), v7()];
  const administrator = actor('administrator');
  const infectionControl = actor('infection-control');
  const manager = actor('manager', { unitIds: [ward] });
  const somebody = (name: string, unitId: string, role: Role): TestPerson => {
    const personId = v7();
    return {
      personId,
      unitId,
      pseudonym: `P-${personId.slice(-8).toUpperCase()}`,
      rosterRef: randomUUID(),
      job: role === 'nurse' ? 'occupational health nurse' : 'staff nurse',
      timeZone: 'Europe/London',
      name,
      staffNumber: `S${personId.slice(-6)}`.toUpperCase(),
      actor: actor(role, { personId }),
    };
  };
  const people = {
    wearer: somebody('Wilma Canary', ward, 'wearer'),
    buddy: somebody('Bo Canary', ward, 'wearer'),
    neighbour: somebody('Nia Canary', other, 'wearer'),
    nurse: somebody('Nora Canary', other, 'nurse'),
    secondNurse: somebody('Sven Canary', other, 'nurse'),
  };
  await work.run(administrator, async (tx) => {
    await tx.site.insert(site);
    await tx.site.insertUnit({ unitId: ward, name: 'Ward 7', ensembleId: 'full', ensembleVersion: '1' });
    await tx.site.insertUnit({ unitId: other, name: 'Other unit', ensembleId: 'full', ensembleVersion: '1' });
    for (const { name, staffNumber, actor: acts, ...person } of Object.values(people)) {
      await tx.people.insert(person, {
        name,
        staffNumber,
        dateOfBirth: '1980-02-29',
        telephone: '+44 1632 960123',
        email: null,
      });
      await tx.site.insertAccount(account(acts, staffNumber));
    }
    for (const acts of [administrator, infectionControl, manager])
      await tx.site.insertAccount(account(acts, acts.role));
  });
  return { site, ward, other, ...people, infectionControl, manager, administrator, worker: actor('worker') };
}

function account(acts: Actor, name: string) {
  const { siteId, personId, unitIds } = acts;
  return {
    accountId: acts.accountId ?? '',
    siteId,
    personId,
    unitIds,
    role: acts.role as Role,
    login: `${name}-${siteId.slice(0, 8)}`,
    passwordHash: '$argon2id$not-a-real-hash',
  };
}
