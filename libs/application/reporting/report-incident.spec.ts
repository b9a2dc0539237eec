import { describe, expect, it } from '@jest/globals';
import { v7 } from 'uuid';
import { DomainError } from '#domain';
import type { ReportIncidentCommand } from './report-incident.js';
import {
  ADMINISTRATOR,
  aHospital,
  aReport,
  BUDDY,
  INFECTION_CONTROL,
  MANAGER,
  NOTHING_REACHED,
  NURSE,
  OTHER_UNIT_ID,
  refusalOf,
  reported,
  SITE_ID,
  theRulebook,
  WEARER,
  WEARER_ID,
} from '../testing/hospital.fixture.js';
import type { HospitalInMemory } from '../testing/hospital-in-memory.js';
import { RaiseDueAlerts } from '../followup/raise-due-alerts.js';
import { ReportIncident } from './report-incident.js';
import { SiteKnowledge } from './site-knowledge.js';

function reporting(hospital: HospitalInMemory) {
  return new ReportIncident(hospital, theRulebook(), new SiteKnowledge());
}

/** One of everything that a report may write. */
function written({ stored }: HospitalInMemory) {
  return {
    incidents: stored.incidents.size,
    tellings: stored.tellings.length,
    assessments: stored.assessments.length,
    plans: stored.plans.size,
    dutyStatuses: stored.dutyStatuses.size,
    alerts: stored.alerts.size,
    outbox: stored.outbox.length,
    replays: stored.replays.length,
    ledger: stored.ledger.length,
    sources: stored.sources.size,
  };
}

const NOTHING = {
  incidents: 0,
  tellings: 0,
  assessments: 0,
  plans: 0,
  dutyStatuses: 0,
  alerts: 0,
  outbox: 0,
  replays: 0,
  ledger: 0,
  sources: 0,
};

describe('reporting an incident', () => {
  it('answers with advice, assessment, barrier and plan, and keeps all of it', async () => {
    const hospital = aHospital();
    const { outcome, body } = await reporting(hospital).execute(aReport(), WEARER);

    expect(outcome).toBe('new');
    expect(body.advice.emergency).toEqual({ words: 'Call the hospital emergency team', telephone: '2222' });
    expect(body.assessment).toMatchObject({ table: 'vhf-cdc-2023', settled: false });
    expect(body.governing).toContain('vhf-cdc-2023');
    expect(body.barrier?.routes.intactSkin).toBe('unknown');
    expect(body.plan).toMatchObject({ dayZero: '2026-10-21', lastDay: '2026-11-11', timeZone: 'Europe/London' });

    const [incident] = hospital.stored.incidents.values();
    expect(incident).toMatchObject({
      incidentId: body.incidentId,
      personId: WEARER_ID,
      state: 'open',
      revision: 1,
      identityConfirmedAt: null,
      reportedAt: hospital.now,
    });
    expect(hospital.stored.assessments).toHaveLength(1);
    expect(hospital.stored.plans.size).toBe(1);
    expect(hospital.stored.ledger.map(({ action }) => action)).toContain('incident.reported');
  });

  it('takes what is not told as unknown, never as no', async () => {
    const hospital = aHospital();
    const { kind, occurred, stage, callMe, reportId, idempotencyKey } = aReport();
    const minimal: ReportIncidentCommand = {
      reportId,
      idempotencyKey,
      kind,
      occurred,
      stage,
      callMe,
      wearer: 'self',
    };
    const { body } = await reporting(hospital).execute(minimal, WEARER);

    const [incident] = hospital.stored.incidents.values();
    expect(incident?.content).toMatchObject({
      step: null,
      task: 'not-known',
      fluid: 'unknown',
      agent: 'unidentified-vhf',
      certainty: 'unknown',
      seen: { skinWet: 'unknown', sharpsInjury: 'unknown' },
      facts: {},
    });
    expect(body.assessment?.settled).toBe(false);
    expect(body.assessment?.level).toBe(3);
    expect(Object.values(body.barrier?.routes ?? {})).not.toContain('no');
  });

  it('reads nothing from the database when the site and the person are known from a moment ago', async () => {
    const hospital = aHospital();
    const report = reporting(hospital);
    await report.execute(aReport(), WEARER);
    hospital.reads.length = 0;

    await report.execute(aReport(), WEARER);

    expect(hospital.reads).toEqual([]);
  });

  it('holds the wearer from the roster until occupational health has decided, with a next review', async () => {
    const hospital = aHospital();
    await reported(hospital);

    expect(hospital.stored.dutyStatuses.get(WEARER_ID)).toMatchObject({
      work: 'not-rostered-until-decided',
      untilDate: null,
      nextReviewDate: '2026-10-22',
      setBy: 'report',
    });
  });

  it('raises a call back and one neutral mail when the assessment is open', async () => {
    const hospital = aHospital();
    const { incidentId } = await reported(hospital);

    const [alert] = hospital.stored.alerts.values();
    expect(alert).toMatchObject({ kind: 'call-back', incidentId, personId: WEARER_ID });
    const [mail] = hospital.stored.outbox;
    expect(mail).toMatchObject({ recipient: 'oh@saltmarsh.example', alertId: alert?.alertId });
    expect(mail?.text).toContain(`/alerts/${alert?.alertId}`);
    expect(`${mail?.subject} ${mail?.text}`).not.toMatch(
      /Wren|Ashdown|S1001|outer|ebola|breach|fever|exposure|isolation|call.back/i,
    );
    expect(hospital.stored.woken).toEqual(['send-notices']);
  });

  it('raises a call back for a near miss only when it is asked for', async () => {
    const quiet = aHospital();
    await reported(quiet, { kind: 'near-miss', breaches: [], callMe: false });
    expect(quiet.stored.alerts.size).toBe(0);

    const asking = aHospital();
    await reported(asking, { kind: 'near-miss', breaches: [], callMe: true });
    expect([...asking.stored.alerts.values()].map(({ kind }) => kind)).toEqual(['call-back']);
  });

  it('makes neither plan nor duty status for a near miss', async () => {
    const hospital = aHospital();
    const body = await reported(hospital, {
      kind: 'near-miss',
      breaches: [{ layer: 'outer-gloves', extent: 'partial', manner: 'tear' }],
    });

    expect(body.plan).toBeNull();
    expect(hospital.stored.plans.size).toBe(0);
    expect(hospital.stored.dutyStatuses.size).toBe(0);
    expect(hospital.stored.assessments).toHaveLength(1);
  });

  it('counts hours from the earliest and days from the latest moment at which it can have happened', async () => {
    const hospital = aHospital();
    const { plan } = await reported(hospital, {
      occurred: { from: '2026-10-20T22:30:00Z', until: '2026-10-21T00:30:00Z', timeZone: 'Europe/London' },
    });

    // 23:30 on the 20th to 01:30 on the 21st in London.
    expect(plan?.dayZero).toBe('2026-10-21');
    expect(plan?.lastDay).toBe('2026-11-11');
  });

  it('puts a time limit for prophylaxis to a prescriber at once, counted from the earliest moment, and once', async () => {
    const hospital = aHospital();
    await reported(hospital, {
      agent: 'smallpox',
      occurred: { from: '2026-10-21T06:00:00Z', until: '2026-10-21T08:00:00Z', timeZone: 'Europe/London' },
    });
    const limits = () => [...hospital.stored.alerts.values()].filter(({ kind }) => kind === 'prophylaxis-deadline');
    expect(limits()).toHaveLength(1);
    // 72 hours later.
    expect(limits()[0]?.reasons[0]).toContain('2026-10-24T07:00:00+01:00');

    const [check] = hospital.stored.checks.filter(({ kind }) => kind === 'prophylaxis');
    if (!check) throw new Error('There is no time limit.');
    const { planId, key, kind, dueUntil } = check;
    hospital.now = '2026-10-24T12:00:00Z';
    await new RaiseDueAlerts(hospital).execute({
      siteId: SITE_ID,
      checks: [{ siteId: SITE_ID, planId, checkKey: key, kind, dueUntil }],
    });
    expect(limits()).toHaveLength(1);
  });

  it('tells whoever reported for somebody else what to do, and nothing about the other person', async () => {
    const hospital = aHospital();
    const body = await reported(hospital, { wearer: { staffNumber: 'S1001' }, buddy: 'Bryn' }, BUDDY);

    expect(body).toMatchObject({ assessment: null, governing: null, barrier: null, plan: null });
    expect(body.advice.firstAid.length).toBeGreaterThan(0);
    const [incident] = hospital.stored.incidents.values();
    expect(incident).toMatchObject({ personId: WEARER_ID, reportedByAccount: BUDDY.accountId });
    expect(hospital.stored.plans.size).toBe(1);
    expect(JSON.stringify(body)).not.toContain(WEARER_ID);
  });

  it('tells a nurse who reports for somebody else everything', async () => {
    const hospital = aHospital();
    const body = await reported(hospital, { wearer: { staffNumber: 'S1001' } }, NURSE);

    expect(body.assessment).not.toBeNull();
    expect(body.plan?.personId).toBe(WEARER_ID);
  });

  it('takes the unit that is named, else the wearer’s own', async () => {
    const hospital = aHospital();
    await reported(hospital, { unitId: OTHER_UNIT_ID });

    expect([...hospital.stored.incidents.values()].map(({ unitId }) => unitId)).toEqual([OTHER_UNIT_ID]);
  });

  it('groups the incidents of one event', async () => {
    const hospital = aHospital();
    const { eventId } = await reported(hospital, { anyoneElse: 'yes' });
    const other = await reported(hospital, { eventId, wearer: 'self' }, BUDDY);

    expect(other.eventId).toBe(eventId);
    expect(other.incidentId).not.toBe([...hospital.stored.incidents.keys()][0]);
  });

  it('enters a source by its pseudonym once', async () => {
    const hospital = aHospital();
    await reported(hospital, { source: 'Bed 4 A' });
    await reported(hospital, { source: 'Bed 4 A' }, BUDDY);

    expect(hospital.stored.sources.size).toBe(1);
    const sources = [...hospital.stored.incidents.values()].map(({ sourceId }) => sourceId);
    expect(new Set(sources).size).toBe(1);
    expect(sources[0]).not.toBeNull();
  });

  describe('again', () => {
    it('answers the same key with the stored answer and stores nothing', async () => {
      const hospital = aHospital();
      const command = aReport();
      const first = await reporting(hospital).execute(command, WEARER);
      const kept = written(hospital);
      const second = await reporting(hospital).execute(command, WEARER);

      expect(second).toEqual({ outcome: 'replayed', body: first.body });
      expect(written(hospital)).toEqual(kept);
    });

    it('answers the same report under another key with the stored incident, in the same words', async () => {
      const hospital = aHospital();
      const command = aReport();
      const first = await reporting(hospital).execute(command, WEARER);
      hospital.now = '2026-12-24T09:00:00Z';
      hospital.stored.replays = [];
      const second = await reporting(hospital).execute({ ...command, idempotencyKey: v7() }, WEARER);

      expect(second.outcome).toBe('already-accepted');
      expect(second.body).toEqual(first.body);
      expect(hospital.stored.incidents.size).toBe(1);
    });

    it('answers a buddy’s resend with the advice alone', async () => {
      const hospital = aHospital();
      const command = aReport({ wearer: { staffNumber: 'S1001' } });
      const first = await reporting(hospital).execute(command, BUDDY);
      hospital.stored.replays = [];
      const second = await reporting(hospital).execute({ ...command, idempotencyKey: v7() }, BUDDY);

      expect(second).toEqual({ outcome: 'already-accepted', body: first.body });
    });

    it('refuses a key that was used for another body', async () => {
      const hospital = aHospital();
      const command = aReport();
      await reporting(hospital).execute(command, WEARER);
      const kept = written(hospital);
      const other = aReport({ idempotencyKey: command.idempotencyKey, callMe: true });

      expect(await refusalOf(() => reporting(hospital).execute(other, WEARER))).toMatchObject({
        code: 'idempotency-key-reused',
      });
      expect(written(hospital)).toEqual(kept);
    });

    it('shows nobody else’s report to whoever sends its id', async () => {
      const hospital = aHospital();
      const command = aReport();
      await reporting(hospital).execute(command, WEARER);
      const refusal = await refusalOf(() => reporting(hospital).execute({ ...command, idempotencyKey: v7() }, BUDDY));

      expect(refusal).toMatchObject({ code: 'conflict', pointer: '/reportId' });
      expect(hospital.stored.incidents.size).toBe(1);
    });
  });

  describe('with something that cannot be', () => {
    it.each<[string, Partial<ReportIncidentCommand>, string, string]>([
      [
        'an incident in the future',
        { occurred: { from: '2026-10-21T10:00:00Z', timeZone: 'Europe/London' } },
        'unacceptable-answer',
        '/occurred/from',
      ],
      [
        'an interval that ends before it begins',
        { occurred: { from: '2026-10-21T08:00:00Z', until: '2026-10-21T07:00:00Z', timeZone: 'Europe/London' } },
        'contradictory-facts',
        '/occurred/until',
      ],
      [
        'a zone that IANA does not know',
        { occurred: { from: '2026-10-21T08:00:00Z', timeZone: 'Europe/Atlantis' } },
        'unknown-time-zone',
        '/occurred/timeZone',
      ],
      [
        'a moment without an offset',
        { occurred: { from: '2026-10-21T08:00:00', timeZone: 'Europe/London' } },
        'unreadable-instant',
        '/occurred/from',
      ],
      ['a layer that the ensemble lacks', { breaches: [{ layer: 'cape' }] }, 'unknown-layer', '/breaches/0/layer'],
      ['a layer found whole that it lacks', { foundWhole: ['cape'] }, 'unknown-layer', '/foundWhole/0'],
      ['a removal step that it lacks', { stage: 'removal', step: 'take-off-cape' }, 'unknown-step', '/step'],
      ['an agent that nobody knows', { agent: 'gremlins' }, 'unacceptable-answer', '/agent'],
      ['a unit of another site', { unitId: v7() }, 'unacceptable-answer', '/unitId'],
      [
        'a staff number that nobody has',
        { wearer: { staffNumber: 'S9999' } },
        'unacceptable-answer',
        '/wearer/staffNumber',
      ],
      ['a near miss with a total tear', { kind: 'near-miss' }, 'contradictory-facts', '/kind'],
      ['a lapse with a breached layer', { kind: 'lapse' }, 'contradictory-facts', '/kind'],
      [
        'a near miss in which something reached the skin',
        { kind: 'near-miss', breaches: [], seen: { skinWet: 'yes' } },
        'contradictory-facts',
        '/seen/skinWet',
      ],
      ['no breach and a total tear', { facts: { ppeBreach: 'no' } }, 'contradictory-facts', '/facts/ppeBreach'],
      ['a torn layer that was found whole', { foundWhole: ['outer-gloves'] }, 'contradictory-facts', '/foundWhole/0'],
      ['a fact that the vocabulary lacks', { facts: { moonPhase: 'full' } }, 'unknown-fact', '/facts/moonPhase'],
      [
        'a value that a fact does not take',
        { facts: { activity: 'juggling' } },
        'unacceptable-answer',
        '/facts/activity',
      ],
      ['an area left before it happened', { leftAreaAt: '2026-10-21T07:00:00Z' }, 'contradictory-facts', '/leftAreaAt'],
      [
        'first aid in the future',
        { firstAid: [{ action: 'washed-soap-and-water', at: '2026-10-22T07:00:00Z' }] },
        'unacceptable-answer',
        '/firstAid/0/at',
      ],
      ['a report id that is no UUID of version 7', { reportId: 'report-1' }, 'unacceptable-answer', '/reportId'],
      ['a source that is named', { source: 'x'.repeat(41) }, 'unacceptable-answer', '/source'],
    ])(
      'refuses %s, names the field and what would be accepted, and writes nothing',
      async (_, changes, code, pointer) => {
        const hospital = aHospital();
        const refusal = await refusalOf(() => reporting(hospital).execute(aReport(changes), WEARER));

        expect(refusal).toBeInstanceOf(DomainError);
        expect(refusal).toMatchObject({ code, pointer });
        expect(refusal.accepted).toBeTruthy();
        expect(written(hospital)).toEqual(NOTHING);
      },
    );

    it('takes a total tear while putting on as the near miss that it is', async () => {
      const hospital = aHospital();
      const body = await reported(hospital, { kind: 'near-miss', stage: 'donning', step: 'put-on-outer-gloves' });

      expect(body.advice.removal.rule).toEqual(['An outer glove failed. Replace it.']);
    });

    it('refuses a wearer’s “no” to an exposure that the layers do not show, and takes a nurse’s', async () => {
      const hospital = aHospital();
      const changes = { facts: { intactSkin: 'no' } };

      expect(await refusalOf(() => reporting(hospital).execute(aReport(changes), WEARER))).toMatchObject({
        code: 'contradictory-facts',
        pointer: '/facts/intactSkin',
      });
      await reported(hospital, { ...changes, wearer: { staffNumber: 'S1001' } }, NURSE);
      expect(hospital.stored.assessments[0]?.facts).toMatchObject({ intactSkin: 'no' });
    });

    it('takes a wearer’s “no” where the layers that were found whole say the same', async () => {
      const hospital = aHospital();
      await reported(hospital, { ...NOTHING_REACHED, facts: { ...NOTHING_REACHED.facts, intactSkin: 'no' } });

      expect(hospital.stored.assessments[0]?.result).toMatchObject({ settled: true, level: 1 });
    });
  });

  describe('with something implausible', () => {
    const old: Partial<ReportIncidentCommand> = {
      occurred: { from: '2025-10-20T08:00:00Z', timeZone: 'Europe/London' },
    };

    it('asks again about what is older than a year', async () => {
      const hospital = aHospital();

      expect(await refusalOf(() => reporting(hospital).execute(aReport(old), WEARER))).toMatchObject({
        code: 'needs-confirmation',
        pointer: '/occurred/from',
      });
      expect(written(hospital)).toEqual(NOTHING);
    });

    it('keeps it when it is confirmed, and raises it to the nurse', async () => {
      const hospital = aHospital();
      await reported(hospital, { ...old, confirmed: true });

      expect([...hospital.stored.incidents.values()][0]?.content.confirmedImplausible).toBe(true);
      expect([...hospital.stored.alerts.values()].map(({ kind }) => kind)).toContain('implausible-entry');
    });

    it('does not call a plausible entry implausible because it was confirmed', async () => {
      const hospital = aHospital();
      await reported(hospital, { confirmed: true });

      expect([...hospital.stored.incidents.values()][0]?.content.confirmedImplausible).toBe(false);
    });
  });

  it.each([
    ['infection control', INFECTION_CONTROL],
    ['a manager', MANAGER],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s', async (_, actor) => {
    const hospital = aHospital();

    expect(await refusalOf(() => reporting(hospital).execute(aReport(), actor))).toMatchObject({ code: 'forbidden' });
    expect(hospital.begun).toBe(0);
  });
});
