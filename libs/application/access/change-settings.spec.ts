import { describe, expect, it } from '@jest/globals';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import {
  ADMINISTRATOR,
  aHospital,
  MANAGER,
  NURSE,
  refusalOf,
  SITE,
  theRulebook,
  WEARER,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { ChangeSettings, type ChangeSettingsCommand } from './change-settings.js';

function changing(hospital: HospitalInMemory) {
  return new ChangeSettings(hospital, theRulebook(), new SiteKnowledge());
}

const BANDS = SITE.settings.readingBands;

describe('changing the settings', () => {
  it('changes what is named and leaves the rest', async () => {
    const hospital = aHospital();
    const { settings, warnings } = await changing(hospital).execute({ readingGraceMinutes: 90 }, ADMINISTRATOR);

    expect(settings).toEqual({ ...SITE.settings, readingGraceMinutes: 90 });
    expect(hospital.stored.site.settings).toEqual(settings);
    expect(warnings).toEqual([]);
    expect(hospital.stored.ledger.at(-1)).toMatchObject({
      action: 'settings.changed',
      detail: { fields: 'readingGraceMinutes' },
    });
  });

  it('warns of a site whose alerts wake nobody at night', async () => {
    const { warnings } = await changing(aHospital()).execute({ onCallClinician: null }, ADMINISTRATOR);

    expect(warnings).toEqual([expect.stringContaining('wakes nobody')]);
  });

  it('takes rules about which table governs', async () => {
    const hospital = aHospital();
    const governing = [{ agent: 'ebola', certainty: 'any', table: 'vhf-uk-acdp', profile: 'ebola/ukhsa' }] as const;
    await changing(hospital).execute({ governing }, ADMINISTRATOR);

    expect(hospital.stored.site.settings.governing).toEqual(governing);
  });

  it.each<[ChangeSettingsCommand, string]>([
    [{ emergency: { words: ' ', telephone: '2222' } }, '/emergency/words'],
    [{ emergency: { words: 'Call', telephone: 'the porter' } }, '/emergency/telephone'],
    [{ occupationalHealth: { telephone: '', email: 'oh@saltmarsh.example' } }, '/occupationalHealth/telephone'],
    [{ occupationalHealth: { telephone: '123', email: 'oh' } }, '/occupationalHealth/email'],
    [{ onCallClinician: { telephone: '' } }, '/onCallClinician/telephone'],
    [{ readingBands: { ...BANDS, morning: { from: '25:00', until: '26:00' } } }, '/readingBands/morning/from'],
    [{ readingBands: { ...BANDS, morning: { from: '10:00', until: '06:00' } } }, '/readingBands/morning/until'],
    [{ readingBands: { ...BANDS, evening: { from: '09:00', until: '22:00' } } }, '/readingBands/evening/from'],
    [{ readingGraceMinutes: 0 }, '/readingGraceMinutes'],
    [{ acknowledgementPauseMinutes: 1441 }, '/acknowledgementPauseMinutes'],
    [
      { governing: [{ agent: 'gremlins', certainty: 'any', table: 'vhf-cdc-2023', profile: 'ebola/cdc' }] },
      '/governing/0/agent',
    ],
    [
      { governing: [{ agent: 'ebola', certainty: 'any', table: 'no-such-table', profile: 'ebola/cdc' }] },
      '/governing/0/table',
    ],
    [
      { governing: [{ agent: 'ebola', certainty: 'any', table: 'vhf-cdc-2023', profile: 'ebola/nobody' }] },
      '/governing/0/profile',
    ],
  ])('refuses %j at %s and changes nothing', async (command, pointer) => {
    const hospital = aHospital();
    const refusal = await refusalOf(() => changing(hospital).execute(command, ADMINISTRATOR));

    expect(refusal).toMatchObject({ code: 'unacceptable-answer', pointer });
    expect(refusal.accepted).toBeTruthy();
    expect(hospital.stored.site.settings).toEqual(SITE.settings);
  });

  it.each([
    ['a nurse', NURSE],
    ['a wearer', WEARER],
    ['a manager', MANAGER],
  ])('is forbidden to %s', async (_, actor) => {
    expect(await refusalOf(() => changing(aHospital()).execute({ readingGraceMinutes: 90 }, actor))).toMatchObject({
      code: 'forbidden',
    });
  });
});
