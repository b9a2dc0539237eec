import { describe, expect, it } from '@jest/globals';
import { ROLES } from '../records/people.js';
import { FLUIDS, LAPSES, TASKS } from '../records/incident.js';
import { ADMINISTRATOR, aHospital, NURSE, refusalOf, theRulebook, WEARER } from '../testing/hospital.fixture.js';
import { ReadSite } from './read-site.js';

describe('reading the site', () => {
  it('gives a form what it asks with, and the numbers to call', async () => {
    const site = await new ReadSite(aHospital(), theRulebook()).execute(WEARER);

    expect(site).toMatchObject({
      name: 'Saltmarsh General',
      timeZone: 'Europe/London',
      emergency: { telephone: '2222' },
      occupationalHealth: { telephone: '020 7946 0100' },
      onCallClinician: { telephone: '020 7946 0199' },
    });
    expect(site.units.map(({ name }) => name)).toEqual(['Isolation unit', 'Emergency department']);
    // Both units wear the same one.
    expect(site.ensembles).toHaveLength(1);
    expect(site.agents.map(({ code }) => code)).toContain('ebola');
    expect(site.form.tasks.map(({ code }) => code)).toEqual([...TASKS]);
    expect(site.form.fluids.map(({ code }) => code)).toEqual([...FLUIDS]);
    expect(site.form.lapses.map(({ code }) => code)).toEqual([...LAPSES]);
    expect(site.firstAid.map(({ code }) => code)).toEqual(expect.arrayContaining(['irrigate-eye', 'wash-puncture']));
    expect(Object.keys(site.questions)).toEqual(Object.keys(site.vocabulary.facts));
  });

  it('shows the settings to the administrator alone', async () => {
    const hospital = aHospital();
    const read = new ReadSite(hospital, theRulebook());

    expect((await read.execute(ADMINISTRATOR)).settings).toEqual(hospital.stored.site.settings);
    for (const role of ROLES.filter((one) => one !== 'administrator')) {
      expect((await read.execute({ ...NURSE, role })).settings).toBeNull();
    }
  });

  it('is forbidden to the machine', async () => {
    expect(
      await refusalOf(() => new ReadSite(aHospital(), theRulebook()).execute({ ...NURSE, role: 'worker' })),
    ).toMatchObject({ code: 'forbidden' });
  });
});
