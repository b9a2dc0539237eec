import { describe, expect, it } from '@jest/globals';
import { SetupTokens, SiteDirectory, type SetupClaim } from '../ports/accounts.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import {
  ADMINISTRATOR,
  aHospital,
  NURSE,
  PlainHasher,
  refusalOf,
  SITE,
  SITE_ID,
  theRulebook,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { UnitOfWork } from '../ports/unit-of-work.js';
import { AddUnit } from './add-unit.js';
import { SetUpSite, type SetUpSiteCommand } from './set-up-site.js';

class OneToken extends SetupTokens {
  state: 'good' | 'claimed' | 'spent' = 'good';

  override async claim(token: string): Promise<SetupClaim | null> {
    if (token !== 'the token' || this.state !== 'good') return null;
    this.state = 'claimed';
    return {
      settle: async () => void (this.state = 'spent'),
      release: async () => void (this.state = 'good'),
    };
  }
}

class SitesInMemory extends SiteDirectory {
  sites: { siteId: string; slug: string; name: string }[] = [];

  override async list() {
    return this.sites;
  }
}

/** The hospital in memory holds one site; here its id is whatever is being set up. */
class Anywhere extends UnitOfWork {
  constructor(
    private readonly hospital: HospitalInMemory,
    private readonly directory: SitesInMemory,
  ) {
    super();
  }

  override async run<T>(...[actor, work]: Parameters<UnitOfWork['run']>): Promise<T> {
    const result = await this.hospital.run({ ...actor, siteId: SITE_ID }, work);
    const { siteId, slug, name } = this.hospital.stored.site;
    this.directory.sites.push({ siteId, slug, name });
    return result as T;
  }
}

function aMachine() {
  const hospital = aHospital();
  hospital.stored.units = [];
  hospital.stored.accounts = [];
  const directory = new SitesInMemory();
  const tokens = new OneToken();
  const setUp = new SetUpSite(new Anywhere(hospital, directory), theRulebook(), directory, tokens, new PlainHasher());
  return { hospital, directory, tokens, setUp };
}

const COMMAND: SetUpSiteCommand = {
  token: 'the token',
  siteName: 'Saltmarsh General — Ünit 1',
  timeZone: 'Europe/London',
  units: ['Isolation unit', ' Emergency department '],
  emergency: SITE.settings.emergency,
  occupationalHealth: SITE.settings.occupationalHealth,
  login: 'administrator',
  password: 'five small grey pebbles',
};

describe('setting up the first site', () => {
  it('makes the site, its units and its administrator, and spends the token', async () => {
    const { hospital, tokens, setUp } = aMachine();
    expect(await setUp.isNeeded()).toBe(true);
    const { accountId, units } = await setUp.execute(COMMAND);

    expect(hospital.stored.site).toMatchObject({ slug: 'saltmarsh-general-u-nit-1', timeZone: 'Europe/London' });
    expect(hospital.stored.units.map(({ name }) => name)).toEqual(['Isolation unit', 'Emergency department']);
    expect(units.map(({ unitId }) => unitId)).toEqual(hospital.stored.units.map(({ unitId }) => unitId));
    expect(hospital.stored.accounts).toEqual([
      expect.objectContaining({ accountId, role: 'administrator', passwordHash: 'hash of five small grey pebbles' }),
    ]);
    expect(tokens.state).toBe('spent');
    expect(await setUp.isNeeded()).toBe(false);
  });

  it('leaves which table governs to the rulebook until the site says otherwise', async () => {
    const { hospital, setUp } = aMachine();
    await setUp.execute(COMMAND);

    expect(hospital.stored.site.settings.governing).toEqual([]);
    expect(hospital.stored.site.settings.onCallClinician).toBeNull();
  });

  it('is refused to whoever holds another token, and a second time', async () => {
    const { setUp } = aMachine();

    expect(await refusalOf(() => setUp.execute({ ...COMMAND, token: 'another' }))).toMatchObject({
      code: 'setup-refused',
    });
    await setUp.execute(COMMAND);
    expect(await refusalOf(() => setUp.execute(COMMAND))).toMatchObject({ code: 'setup-refused' });
  });

  it('is refused on an installation that is set up, and gives the token back', async () => {
    const { directory, tokens, setUp } = aMachine();
    directory.sites.push({ siteId: SITE_ID, slug: 'x', name: 'X' });

    expect(await refusalOf(() => setUp.execute(COMMAND))).toMatchObject({ code: 'conflict' });
    expect(tokens.state).toBe('good');
  });

  it.each<[Partial<SetUpSiteCommand>, string]>([
    [{ timeZone: 'Europe/Atlantis' }, '/timeZone'],
    [{ units: [] }, '/units'],
    [{ units: ['A', ' A '] }, '/units'],
    [{ units: [' '] }, '/units'],
    [{ password: 'too short' }, '/password'],
    [{ emergency: { words: '', telephone: '2222' } }, '/emergency/words'],
  ])('is refused with %j before the token is touched', async (changes, pointer) => {
    const { hospital, tokens, setUp } = aMachine();

    expect(await refusalOf(() => setUp.execute({ ...COMMAND, ...changes }))).toMatchObject({ pointer });
    expect(tokens.state).toBe('good');
    expect(hospital.begun).toBe(0);
  });
});

describe('adding a unit', () => {
  const adding = (hospital: HospitalInMemory) => new AddUnit(hospital, theRulebook(), new SiteKnowledge());

  it('gives it the rulebook’s ensemble, at its version', async () => {
    const hospital = aHospital();
    const unit = await adding(hospital).execute({ name: ' Burns unit ' }, ADMINISTRATOR);
    const [ensemble] = theRulebook().ensembles();

    expect(unit).toMatchObject({
      name: 'Burns unit',
      ensembleId: ensemble?.id,
      ensembleVersion: ensemble?.version,
    });
    expect(hospital.stored.units).toContainEqual(unit);
  });

  it.each([
    [{ name: '  ' }, '/name'],
    [{ name: 'Isolation unit' }, '/name'],
    [{ name: 'Burns unit', ensembleId: 'chain-mail' }, '/ensembleId'],
  ])('refuses %j', async (command, pointer) => {
    const hospital = aHospital();

    expect(await refusalOf(() => adding(hospital).execute(command, ADMINISTRATOR))).toMatchObject({ pointer });
    expect(hospital.stored.units).toHaveLength(2);
  });

  it('is forbidden to a nurse', async () => {
    expect(await refusalOf(() => adding(aHospital()).execute({ name: 'Burns unit' }, NURSE))).toMatchObject({
      code: 'forbidden',
    });
  });
});
