import { describe, expect, it } from '@jest/globals';
import { aHospital, determined, NURSE, reported, SITE_ID, theRulebook, WEARER } from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { AmendIncident } from '../reporting/amend-incident.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import { RaiseDueAlerts } from './raise-due-alerts.js';

const TEN_DAYS_BEFORE = { from: '2026-10-11T08:00:00Z', timeZone: 'Europe/London' };

const slots = ({ stored }: HospitalInMemory) =>
  stored.checks.filter(({ kind, state }) => (kind === 'reading' || kind === 'contact') && state !== 'withdrawn');

async function sweep(hospital: HospitalInMemory) {
  const due = hospital.stored.checks.filter(
    ({ state, dueUntil }) => state === 'due' && Date.parse(dueUntil) <= Date.parse(hospital.now),
  );
  await new RaiseDueAlerts(hospital).execute({
    siteId: SITE_ID,
    checks: due.map(({ planId, key, kind, dueUntil }) => ({ siteId: SITE_ID, planId, checkKey: key, kind, dueUntil })),
  });
  return [...hospital.stored.alerts.values()].filter(({ kind }) => kind === 'missed-reading').length;
}

describe('a report that comes ten days late', () => {
  it('asks for no reading of a time before it came, and raises none as missed', async () => {
    const hospital = aHospital();
    const { plan } = await reported(hospital, { occurred: TEN_DAYS_BEFORE });

    expect(plan).toMatchObject({ dayZero: '2026-10-11', lastDay: '2026-11-01' });
    expect(
      slots(hospital)
        .map(({ dueUntil }) => Date.parse(dueUntil))
        .every((at) => at > Date.parse(hospital.now)),
    ).toBe(true);
    expect(slots(hospital).length).toBeGreaterThan(20);
    expect(await sweep(hospital)).toBe(0);
  });

  it('still asks for the review and the release, however late', async () => {
    const hospital = aHospital();
    await reported(hospital, { occurred: { from: '2026-08-01T08:00:00Z', timeZone: 'Europe/London' } });

    expect(slots(hospital)).toEqual([]);
    expect(hospital.stored.checks.map(({ key }) => key)).toEqual(expect.arrayContaining(['review/1', 'release']));
  });
});

describe('a slot that was asked for and is over', () => {
  it('stays missed when the incident is amended or determined afterwards', async () => {
    const hospital = aHospital();
    const { incidentId } = await determined(hospital);
    const before = slots(hospital).map(({ key }) => key);
    hospital.now = '2026-10-24T12:00:00Z';
    const amended = await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: { firstAid: [{ action: 'changed-clothing' }] } },
      WEARER,
    );

    expect(amended).toMatchObject({ tightenedAtOnce: false, needsDetermination: false });
    expect(slots(hospital).map(({ key }) => key)).toEqual(before);
    expect(await sweep(hospital)).toBe(6);
  });

  it('is not made up for a plan that asks more often from now on', async () => {
    const hospital = aHospital();
    const { incidentId } = await determined(hospital);
    hospital.stored.checks = hospital.stored.checks.filter(({ kind }) => kind !== 'contact');
    hospital.now = '2026-10-24T12:00:00Z';
    await new AmendIncident(hospital, theRulebook(), new SiteKnowledge()).execute(
      { incidentId, onRevision: 2, changes: { seen: { eyeSplash: 'yes' } } },
      NURSE,
    );
    const contacts = slots(hospital).filter(({ kind }) => kind === 'contact');

    expect(contacts.length).toBeGreaterThan(0);
    expect(contacts.every(({ dueUntil }) => Date.parse(dueUntil) > Date.parse(hospital.now))).toBe(true);
  });
});
