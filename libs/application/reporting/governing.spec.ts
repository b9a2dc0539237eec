import { describe, expect, it } from '@jest/globals';
import type { GoverningRule, LocalConfirmation } from '../records/people.js';
import { theRulebook } from '../testing/hospital.fixture.js';
import { governingFor, isLive } from './governing.js';

const waiting = () =>
  theRulebook()
    .tables()
    .filter(({ table }) => theRulebook().needsConfirmation(`${table.id}@${table.version}`).length > 0);

function confirmed(id: string): LocalConfirmation {
  const { table, hash } = theRulebook().table(id);
  return {
    subject: table.id,
    version: table.version,
    hash,
    confirmedBy: 'nurse',
    confirmedByName: 'Ruth Amado',
    at: '2026-09-01T08:00:00Z',
  };
}

function tableFor(
  agent: string,
  site: { governing?: readonly GoverningRule[]; confirmations?: readonly LocalConfirmation[] } = {},
  certainty: 'confirmed' | 'suspected' | 'unknown' = 'confirmed',
) {
  const { governing = [], confirmations = [] } = site;
  const { edition, profile, why, asRuled } = governingFor(
    theRulebook(),
    { governing, confirmations },
    agent,
    certainty,
  );
  return { table: edition.table.id, profile, why, asRuled };
}

const UK_EBOLA: GoverningRule = { agent: 'ebola', certainty: 'any', table: 'vhf-uk-acdp', profile: 'ebola/ukhsa' };

describe('which table governs', () => {
  it('is the rulebook’s own rule where the site has set none, and says so', () => {
    expect(tableFor('ebola', { confirmations: [confirmed('vhf-cdc-2023')] })).toMatchObject({
      table: 'vhf-cdc-2023',
      profile: 'ebola/cdc@2023',
      why: expect.stringContaining('by default; this site has set no other'),
      asRuled: true,
    });
  });

  it('is the site’s own rule first', () => {
    const site = { governing: [UK_EBOLA], confirmations: [confirmed('vhf-uk-acdp'), confirmed('vhf-cdc-2023')] };

    expect(tableFor('ebola', site)).toMatchObject({
      table: 'vhf-uk-acdp',
      profile: 'ebola/ukhsa',
      why: expect.stringContaining('set by this site'),
    });
    expect(tableFor('marburg', site).table).toBe('vhf-cdc-2023');
  });

  it('is the first rule for that certainty', () => {
    const rules: GoverningRule[] = [{ ...UK_EBOLA, certainty: 'confirmed' }];
    const site = { governing: rules, confirmations: [confirmed('vhf-uk-acdp'), confirmed('vhf-cdc-2023')] };

    expect(tableFor('ebola', site, 'confirmed').table).toBe('vhf-uk-acdp');
    expect(tableFor('ebola', site, 'suspected').table).toBe('vhf-cdc-2023');
    expect(tableFor('ebola', site, 'unknown').table).toBe('vhf-cdc-2023');
  });

  it('is the cautious default while the table waits for a local confirmation, and says why', () => {
    expect(tableFor('ebola', { governing: [UK_EBOLA] })).toEqual({
      table: 'unidentified-vhf',
      profile: 'unidentified-vhf/cdc@2023',
      why: expect.stringMatching(/^vhf-uk-acdp@.* governs this agent, but its remembered rules are not confirmed/),
      asRuled: false,
    });
  });

  it('is the cautious default for an agent that no rule names', () => {
    expect(tableFor('something-new')).toMatchObject({
      table: 'unidentified-vhf',
      why: 'No table of the rulebook governs this agent, so the cautious default applies.',
    });
  });

  it('needs the confirmation of this very edition', () => {
    const [edition] = waiting();
    if (!edition) throw new Error('No shipped table waits for a confirmation.');
    const good = confirmed(edition.table.id);

    expect(isLive(theRulebook(), edition, [good])).toBe(true);
    expect(isLive(theRulebook(), edition, [{ ...good, hash: '0'.repeat(64) }])).toBe(false);
    expect(isLive(theRulebook(), edition, [{ ...good, version: 'another' }])).toBe(false);
    expect(isLive(theRulebook(), edition, [])).toBe(false);
  });

  it('finds a live table and a profile for every agent, whatever is confirmed', () => {
    const everything = theRulebook()
      .tables()
      .map(({ table }) => confirmed(`${table.id}@${table.version}`));
    for (const { code } of theRulebook().agents()) {
      for (const confirmations of [[], everything]) {
        const { table, profile } = tableFor(code, { confirmations });
        expect(isLive(theRulebook(), theRulebook().table(table), confirmations)).toBe(true);
        expect(theRulebook().profile(profile).id).toBeTruthy();
      }
    }
  });
});
