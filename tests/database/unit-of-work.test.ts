import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { v7 } from 'uuid';
import type { DeterminationRecord, Transaction } from '#application';
import { createPersistence, type Persistence } from '#persistence';
import { createTestDatabase, type TestDatabase } from '../support/database.js';
import { acceptedReport, alertRecord, content, followUpPlan, plannedCheck } from '../support/builders/report.js';
import { enterSite, settings, type TestSite } from '../support/builders/site.js';

let database: TestDatabase;
let persistence: Persistence;
let site: TestSite;

beforeAll(async () => {
  database = await createTestDatabase();
  persistence = await createPersistence({ url: database.appUrl, masterKey: database.masterKey });
  site = await enterSite(persistence.unitOfWork);
});

afterAll(async () => {
  await persistence.close();
  await database.drop();
});

const asNurse = <T>(work: (tx: Transaction) => Promise<T>) => persistence.unitOfWork.run(site.nurse.actor, work);
const asWearer = <T>(work: (tx: Transaction) => Promise<T>) => persistence.unitOfWork.run(site.wearer.actor, work);

describe('a site and its people', () => {
  it('come back as they were entered', async () => {
    const read = await asNurse(async (tx) => ({
      site: await tx.site.read(),
      units: await tx.site.units(),
      person: await tx.people.find(site.wearer.personId),
      found: await tx.people.findByStaffNumber(` ${site.wearer.staffNumber.toLowerCase()} `),
      nobody: await tx.people.findByStaffNumber('nobody has this'),
      identity: (await tx.people.identities([site.wearer.personId])).get(site.wearer.personId),
      all: await tx.people.findAll([site.wearer.personId, v7()]),
    }));
    const { name, staffNumber, actor: _, ...person } = site.wearer;
    expect(read.site).toEqual(site.site);
    expect(read.units.map((unit) => unit.name)).toEqual(['Other unit', 'Ward 7']);
    expect(read.person).toEqual(person);
    expect(read.found).toEqual(person);
    expect(read.nobody).toBeNull();
    expect(read.identity).toEqual({
      name,
      staffNumber,
      dateOfBirth: '1980-02-29',
      telephone: '+44 1632 960123',
      email: null,
    });
    expect([...read.all.keys()]).toEqual([site.wearer.personId]);
  });

  it('have settings that only the administrator changes', async () => {
    const changed = settings({ acknowledgementPauseMinutes: 45 });
    await persistence.unitOfWork.run(site.administrator, (tx) => tx.site.changeSettings(changed));
    expect((await asNurse((tx) => tx.site.read())).settings).toEqual(changed);
    await expect(asNurse((tx) => tx.site.changeSettings(settings()))).rejects.toThrow('42501');
  });

  it('keep the local confirmations of their clinicians', async () => {
    const confirmation = {
      subject: 'vhf-uk-acdp',
      version: '1',
      hash: 'b'.repeat(64),
      confirmedBy: site.nurse.actor.accountId ?? '',
      confirmedByName: 'Ruth Amado',
      at: '2026-11-20T09:00:00.000Z',
    };
    await asNurse((tx) => tx.site.confirm(confirmation));
    expect(await asNurse((tx) => tx.site.confirmations())).toEqual([confirmation]);
  });
});

describe('an accepted report', () => {
  it('comes back as it was given, in every part', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const read = await asNurse(async (tx) => ({
      incident: await tx.incidents.find(report.incident.incidentId),
      byReportId: await tx.incidents.findByReportId(report.incident.reportId),
      tellings: await tx.incidents.tellings(report.incident.incidentId),
      assessments: await tx.incidents.assessments(report.incident.incidentId),
      plan: await tx.plans.findByIncident(report.incident.incidentId),
      checks: await tx.plans.checks(report.plan?.planId ?? ''),
      alerts: await tx.alerts.list({ incidentId: report.incident.incidentId }),
      standing: (await tx.incidents.standings([report.incident.incidentId])).get(report.incident.incidentId),
    }));
    expect(read.incident).toEqual(report.incident);
    expect(read.byReportId).toEqual(report.incident);
    expect(read.tellings).toEqual([report.telling]);
    expect(read.assessments).toEqual([report.assessment]);
    expect(read.plan).toEqual(report.plan);
    expect(read.checks).toHaveLength(44);
    expect(read.checks.every(({ state }) => state === 'due')).toBe(true);
    expect(read.alerts).toEqual(report.alerts);
    expect(read.standing).toEqual({ assessment: report.assessment, determination: null });
  });

  it('comes back to the wearer, with the own words', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const tellings = await asWearer((tx) => tx.incidents.tellings(report.incident.incidentId));
    expect(tellings).toEqual([report.telling]);
  });

  it('needs no key where nothing was written in words', async () => {
    const report = acceptedReport(site, { account: null, plan: null });
    await asWearer((tx) => tx.incidents.accept(report));
    expect(await asNurse((tx) => tx.incidents.tellings(report.incident.incidentId))).toEqual([report.telling]);
    expect(await asNurse((tx) => tx.plans.findByIncident(report.incident.incidentId))).toBeNull();
  });

  it('is refused the second time, and the first stays the only one', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const again = acceptedReport(site, { reportId: report.incident.reportId });
    await expect(asWearer((tx) => tx.incidents.accept(again))).rejects.toMatchObject({ name: 'AlreadyStored' });
    expect(await asNurse((tx) => tx.incidents.find(again.incident.incidentId))).toBeNull();
    expect(await asNurse((tx) => tx.incidents.findByReportId(report.incident.reportId))).toEqual(report.incident);
  });

  it('is stored once when 32 senders send it in the same moment', async () => {
    const reportId = v7();
    const attempts = await Promise.allSettled(
      Array.from({ length: 32 }, () => asWearer((tx) => tx.incidents.accept(acceptedReport(site, { reportId })))),
    );
    const refused = attempts.flatMap((attempt) => (attempt.status === 'rejected' ? [attempt.reason as Error] : []));
    expect(refused).toHaveLength(31);
    expect(new Set(refused.map(({ name }) => name))).toEqual(new Set(['AlreadyStored']));
  });

  it('by a buddy holds the wearer from the roster, seals the words for the wearer, and shows the buddy no more than it typed', async () => {
    const report = acceptedReport(site, { about: site.neighbour, by: site.buddy });
    await persistence.unitOfWork.run(site.buddy.actor, async (tx) => {
      const found = await tx.people.findByStaffNumber(site.neighbour.staffNumber);
      expect(found?.personId).toBe(site.neighbour.personId);
      await tx.incidents.accept(report);
    });
    const buddy = await persistence.unitOfWork.run(site.buddy.actor, async (tx) => ({
      incident: await tx.incidents.findByReportId(report.incident.reportId),
      tellings: await tx.incidents.tellings(report.incident.incidentId),
      alerts: await tx.alerts.list({ incidentId: report.incident.incidentId }),
      person: await tx.people.find(site.neighbour.personId),
      duty: await tx.dutyStatuses.list(),
    }));
    // The builder's report is days old, and a buddy reads what it typed for one day only.
    expect(buddy.incident).toBeNull();
    expect(buddy.tellings).toEqual([]);
    expect(buddy.alerts).toEqual([]);
    expect(buddy.person).toBeNull();
    expect(buddy.duty).toEqual([]);
    const wearer = await persistence.unitOfWork.run(site.neighbour.actor, async (tx) => ({
      tellings: await tx.incidents.tellings(report.incident.incidentId),
      duty: await tx.dutyStatuses.list(),
    }));
    expect(wearer.tellings).toEqual([report.telling]);
    expect(wearer.duty).toEqual([report.dutyStatus]);
  });

  it('just typed by a buddy can be answered again on a resend', async () => {
    const now = await asNurse((tx) => Promise.resolve(tx.now));
    const report = acceptedReport(site, { about: site.neighbour, by: site.buddy, at: now, account: null });
    await persistence.unitOfWork.run(site.buddy.actor, (tx) => tx.incidents.accept(report));
    const again = await persistence.unitOfWork.run(site.buddy.actor, async (tx) => ({
      incident: await tx.incidents.findByReportId(report.incident.reportId),
      assessments: await tx.incidents.assessments(report.incident.incidentId),
      plan: await tx.plans.findByIncident(report.incident.incidentId),
    }));
    expect(again.incident).toEqual(report.incident);
    expect(again.assessments).toEqual([report.assessment]);
    expect(again.plan).toEqual(report.plan);
  });

  it('never eases a duty status that is stricter', async () => {
    const person = site.secondNurse;
    const status = {
      personId: person.personId,
      rosterRef: person.rosterRef,
      unitId: person.unitId,
      untilDate: null,
      nextReviewDate: '2026-11-21',
      setBy: 'report' as const,
    };
    const set = (work: 'not-on-site' | 'no-patient-contact' | 'not-rostered-until-decided') =>
      asWearer((tx) => tx.dutyStatuses.set({ ...status, work }));
    const read = async () =>
      (await asNurse((tx) => tx.dutyStatuses.list())).find(({ personId }) => personId === person.personId)?.work;
    await set('not-on-site');
    await set('no-patient-contact');
    expect(await read()).toBe('not-on-site');
    await set('not-rostered-until-decided');
    expect(await read()).toBe('not-rostered-until-decided');
  });
});

describe('the queue', () => {
  it('has the urgent first, then the older, over pages that miss and repeat nothing', async () => {
    const alone = await enterSite(persistence.unitOfWork);
    const levels = [0, 1, 2, null, 3] as const;
    const reports = Array.from({ length: 23 }, (_, index) =>
      acceptedReport(alone, {
        at: new Date(Date.UTC(2026, 10, 20, 0, (index * 7) % 23)).toISOString(),
        assessment: { level: levels[index % 5] ?? null },
        account: null,
        plan: null,
      }),
    );
    for (const report of reports) {
      await persistence.unitOfWork.run(alone.wearer.actor, (tx) => tx.incidents.accept(report));
    }
    const rank = (level: number | null) => (level === null ? 2.5 : level);
    const wanted = [...reports]
      .sort(
        (a, b) =>
          rank(b.assessment.result.level) - rank(a.assessment.result.level) ||
          a.incident.reportedAt.localeCompare(b.incident.reportedAt),
      )
      .map(({ incident }) => incident.incidentId);
    const seen: string[] = [];
    let cursor: string | undefined;
    do {
      const page = await persistence.unitOfWork.run(alone.nurse.actor, (tx) =>
        tx.incidents.list({ limit: 5, ...(cursor === undefined ? {} : { cursor }) }),
      );
      seen.push(...page.items.map(({ incidentId }) => incidentId));
      cursor = page.nextCursor ?? undefined;
    } while (cursor !== undefined);
    expect(seen).toEqual(wanted);
  });

  it('refuses a cursor that is none', async () => {
    await expect(asNurse((tx) => tx.incidents.list({ limit: 5, cursor: 'bm9wZQ' }))).rejects.toMatchObject({
      code: 'unacceptable-answer',
      pointer: '/cursor',
    });
  });

  it('is filtered by person, event, source and state', async () => {
    const eventId = v7();
    const sourceId = v7();
    const one = acceptedReport(site, { eventId, sourceId });
    const two = acceptedReport(site, { eventId, about: site.buddy });
    await asWearer(async (tx) => {
      await tx.sources.insert(sourceId, `PT-${sourceId.slice(-6)}`);
      await tx.incidents.accept(one);
    });
    await persistence.unitOfWork.run(site.buddy.actor, (tx) => tx.incidents.accept(two));
    const ids = async (filter: object) =>
      (await asNurse((tx) => tx.incidents.list({ limit: 100, ...filter }))).items.map(({ incidentId }) => incidentId);
    expect((await ids({ eventId })).sort()).toEqual([one.incident.incidentId, two.incident.incidentId].sort());
    expect(await ids({ sourceId })).toEqual([one.incident.incidentId]);
    expect(await ids({ eventId, personId: site.buddy.personId })).toEqual([two.incident.incidentId]);
    expect(await ids({ eventId, state: 'released' })).toEqual([]);
  });
});

describe('an amendment', () => {
  it('is added to what was told, and counts follow what stands now', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const changed = content({
      breaches: [{ layer: 'visor', extent: 'total', manner: 'displacement' }],
      lapses: [],
      fluid: 'vomit',
    });
    const amended = { ...report.incident, revision: 2, content: changed };
    const telling = {
      ...report.telling,
      revision: 2,
      kind: 'amendment' as const,
      content: changed,
      account: 'canary amendment',
      buddy: null,
      at: '2026-11-21T08:00:00.000Z',
    };
    const second = { ...report.assessment, assessmentId: v7(), revision: 2, madeAt: '2026-11-21T08:00:00.000Z' };
    await asWearer(async (tx) => {
      expect(await tx.incidents.findForChange(report.incident.incidentId)).toEqual(report.incident);
      await tx.incidents.appendTelling(amended, telling);
      await tx.incidents.appendAssessment(second);
    });
    const read = await asNurse(async (tx) => ({
      incident: await tx.incidents.find(report.incident.incidentId),
      tellings: await tx.incidents.tellings(report.incident.incidentId),
      assessments: await tx.incidents.assessments(report.incident.incidentId),
      standing: (await tx.incidents.standings([report.incident.incidentId])).get(report.incident.incidentId),
    }));
    expect(read.incident).toEqual(amended);
    expect(read.tellings).toEqual([report.telling, telling]);
    expect(read.assessments).toEqual([report.assessment, second]);
    expect(read.standing?.assessment).toEqual(second);
  });
});

describe('a determination', () => {
  it('is kept with its reason and names, which are sealed', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const { incidentId } = report.incident;
    const determination: DeterminationRecord = {
      determinationId: v7(),
      incidentId,
      onRevision: 1,
      assessmentId: report.assessment.assessmentId,
      categoryId: 'low',
      category: 'Low risk',
      departs: true,
      reason: 'canary reason',
      signedBy: site.nurse.actor.accountId ?? '',
      signedByName: site.nurse.name,
      secondClinician: site.secondNurse.actor.accountId,
      secondClinicianName: site.secondNurse.name,
      at: '2026-11-21T09:00:00.000Z',
    };
    await asNurse(async (tx) => {
      await tx.incidents.confirmIdentity(incidentId, '2026-11-21T08:59:00.000Z');
      await tx.incidents.appendDetermination({ ...report.incident, revision: 2, state: 'determined' }, determination);
    });
    const read = await asNurse(async (tx) => ({
      incident: await tx.incidents.find(incidentId),
      determinations: await tx.incidents.determinations(incidentId),
      standing: (await tx.incidents.standings([incidentId])).get(incidentId),
    }));
    expect(read.incident).toMatchObject({
      revision: 2,
      state: 'determined',
      identityConfirmedAt: '2026-11-21T08:59:00.000Z',
    });
    expect(read.determinations).toEqual([determination]);
    expect(read.standing?.determination).toEqual(determination);
    // Without identity the words are not there.
    const without = await persistence.unitOfWork.run(site.infectionControl, (tx) =>
      tx.incidents.determinations(incidentId),
    );
    expect(without).toEqual([{ ...determination, reason: null, signedByName: null, secondClinicianName: null }]);
  });
});

describe('a plan', () => {
  it('is replaced check by check: what is done stays, what is gone is withdrawn, what returns is due again', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const plan = report.plan;
    if (!plan) throw new Error('The builder gives a plan.');
    const [first, second] = followUpPlan().checks.filter(({ kind }) => kind === 'reading');
    if (!first || !second) throw new Error('The builder gives readings.');
    await asWearer((tx) => tx.plans.completeCheck(plan.planId, first.key, '2026-11-21T07:00:00.000Z', null));
    const moved = { ...second, dueUntil: '2026-11-21T23:00:00+01:00', label: 'Evening reading, later' };
    const added = plannedCheck('test/1', { kind: 'test', slot: null, label: 'A blood test', grade: 'second-hand' });
    const next = { ...plan, plan: followUpPlan({ checks: [first, moved, added] }) };
    await asNurse((tx) => tx.plans.replace(next));
    const read = await asNurse(async (tx) => ({
      plan: await tx.plans.find(plan.planId),
      checks: await tx.plans.checks(plan.planId),
    }));
    expect(read.plan?.plan.checks).toEqual([first, moved, added]);
    const states = new Map(read.checks.map((check) => [check.key, check.state]));
    expect(states.get(first.key)).toBe('done');
    expect(states.get(moved.key)).toBe('due');
    expect(states.get('release/1')).toBe('withdrawn');
    await asNurse((tx) => tx.plans.replace(plan));
    const back = await asNurse(async (tx) => ({
      plan: await tx.plans.find(plan.planId),
      release: await tx.plans.findCheck(plan.planId, 'release/1'),
      added: await tx.plans.findCheck(plan.planId, 'test/1'),
      first: await tx.plans.findCheck(plan.planId, first.key),
    }));
    expect(back.plan).toEqual(plan);
    expect(back.release?.state).toBe('due');
    expect(back.added?.state).toBe('withdrawn');
    expect(back.first).toMatchObject({ state: 'done', doneAt: '2026-11-21T07:00:00.000Z' });
  });

  it('keeps its readings as they were entered', async () => {
    const report = acceptedReport(site);
    const plan = report.plan;
    if (!plan) throw new Error('The builder gives a plan.');
    await asWearer((tx) => tx.incidents.accept(report));
    const reading = {
      readingId: v7(),
      planId: plan.planId,
      personId: site.wearer.personId,
      checkKey: 'reading/2026-11-21/morning',
      at: '2026-11-21T07:00:00.000Z',
      value: '38.40',
      unit: 'Cel' as const,
      measurementSite: 'ear' as const,
      antipyreticTaken: 'unknown' as const,
      feltFever: 'yes' as const,
      symptoms: ['headache', 'fatigue'],
      enteredBy: site.wearer.actor.accountId,
      enteredAt: '2026-11-21T07:01:00.000Z',
      confirmedImplausible: false,
      judgement: { alert: 'fever' as const, reasons: ['38.4'], reassuring: false, plausibility: 'plausible' as const },
    };
    await asWearer(async (tx) => {
      await tx.plans.insertReading(reading);
      await tx.plans.completeCheck(plan.planId, reading.checkKey, reading.at, reading.readingId);
    });
    expect(await asNurse((tx) => tx.plans.readings(plan.planId))).toEqual([reading]);
    expect(await asNurse((tx) => tx.plans.findCheck(plan.planId, reading.checkKey))).toMatchObject({
      state: 'done',
      readingId: reading.readingId,
    });
  });

  it('falls due no more once it is released', async () => {
    const report = acceptedReport(site);
    const plan = report.plan;
    if (!plan) throw new Error('The builder gives a plan.');
    await asWearer((tx) => tx.incidents.accept(report));
    const by = site.nurse.actor.accountId ?? '';
    const early = { reason: 'canary reason', secondClinician: site.secondNurse.actor.accountId ?? '' };
    await asNurse((tx) => tx.plans.release(plan.planId, '2026-12-12T08:00:00.000Z', { by, early }));
    const read = await asNurse(async (tx) => ({
      plan: await tx.plans.find(plan.planId),
      checks: await tx.plans.checks(plan.planId),
      running: await tx.plans.running(),
    }));
    expect(read.plan).toMatchObject({ state: 'released', releasedAt: '2026-12-12T08:00:00.000Z' });
    expect(new Set(read.checks.map(({ state }) => state))).toEqual(new Set(['withdrawn']));
    expect(read.running.map(({ planId }) => planId)).not.toContain(plan.planId);
  });
});

describe('an alert', () => {
  it('is raised once for its key, acknowledged, and closed with what was decided', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const { incidentId, personId } = report.incident;
    const alert = alertRecord({
      incidentId,
      personId,
      planId: report.plan?.planId ?? null,
      alertKey: `${incidentId}/fever`,
      kind: 'fever',
    });
    expect(await asWearer((tx) => tx.alerts.raise(alert))).toBe(true);
    expect(await asWearer((tx) => tx.alerts.raise({ ...alert, alertId: v7() }))).toBe(false);
    const by = site.nurse.actor.accountId ?? '';
    await asNurse(async (tx) => {
      expect(await tx.alerts.findForChange(alert.alertId)).toEqual(alert);
      await tx.alerts.acknowledge(alert.alertId, by, '2026-11-21T03:00:00.000Z', '2026-11-21T03:30:00.000Z');
    });
    await asNurse((tx) =>
      tx.alerts.close(alert.alertId, by, '2026-11-21T03:10:00.000Z', 'spoken-to-well', 'canary decision'),
    );
    const read = await asNurse(async (tx) => ({
      alert: await tx.alerts.find(alert.alertId),
      open: await tx.alerts.list({ open: true, personId }),
    }));
    expect(read.alert).toEqual({
      ...alert,
      acknowledgedBy: by,
      acknowledgedAt: '2026-11-21T03:00:00.000Z',
      pausedUntil: '2026-11-21T03:30:00.000Z',
      outcome: 'spoken-to-well',
      closedBy: by,
      closedAt: '2026-11-21T03:10:00.000Z',
    });
    expect(read.open.map(({ alertId }) => alertId)).not.toContain(alert.alertId);
  });
});

describe('a source', () => {
  it('has its statuses in the order in which they were stated', async () => {
    const sourceId = v7();
    const status = (word: 'suspected' | 'ruled-out', onDate: string, sampledOn: string | null) => ({
      status: word,
      agent: 'ebola',
      onDate,
      sampledOn,
      byAccount: site.nurse.actor.accountId ?? '',
      at: `${onDate}T10:00:00.000Z`,
    });
    await asNurse(async (tx) => {
      await tx.sources.insert(sourceId, 'PT-77');
      await tx.sources.appendStatus(sourceId, status('suspected', '2026-11-20', null));
      await tx.sources.appendStatus(sourceId, status('ruled-out', '2026-11-22', '2026-11-21'));
    });
    const wanted = {
      sourceId,
      pseudonym: 'PT-77',
      statuses: [status('suspected', '2026-11-20', null), status('ruled-out', '2026-11-22', '2026-11-21')],
    };
    expect(await asNurse((tx) => tx.sources.findByPseudonym('PT-77'))).toEqual(wanted);
    expect(await asNurse((tx) => tx.sources.find(sourceId))).toEqual(wanted);
  });
});

describe('a letter', () => {
  it('keeps the bytes that were signed, and cannot be changed after that', async () => {
    const report = acceptedReport(site);
    await asWearer((tx) => tx.incidents.accept(report));
    const letter = {
      letterId: v7(),
      incidentId: report.incident.incidentId,
      kind: 'referral' as const,
      revision: 1,
      contentHash: 'c'.repeat(64),
      paper: 'A4' as const,
      signedBy: null,
      signedAt: null,
      createdAt: '2026-11-21T10:00:00.000Z',
    };
    const pdf = Buffer.from('%PDF-1.7 canary');
    const by = site.nurse.actor.accountId ?? '';
    await asWearer((tx) => tx.letters.insert(letter));
    expect(await asNurse((tx) => tx.letters.signedPdf(letter.letterId))).toBeNull();
    await asNurse((tx) => tx.letters.sign(letter.letterId, by, '2026-11-21T10:05:00.000Z', pdf));
    const read = await asNurse(async (tx) => ({
      letters: await tx.letters.listByIncident(letter.incidentId),
      pdf: await tx.letters.signedPdf(letter.letterId),
    }));
    expect(read.letters).toEqual([{ ...letter, signedBy: by, signedAt: '2026-11-21T10:05:00.000Z' }]);
    expect(Buffer.from(read.pdf ?? []).toString()).toBe('%PDF-1.7 canary');
    await expect(
      asNurse((tx) => tx.letters.sign(letter.letterId, by, '2026-11-21T10:06:00.000Z', pdf)),
    ).rejects.toThrow('IG001');
  });
});

describe('a replay', () => {
  it('is found again by its account, and a second one for the same key is told apart', async () => {
    const replay = {
      principal: site.wearer.actor.accountId ?? '',
      route: 'POST /readings',
      key: v7(),
      fingerprint: 'd'.repeat(64),
      status: 201,
      body: { readingId: 'x', list: [1, null] },
      etag: null,
    };
    await asWearer((tx) => tx.replays.insert(replay));
    expect(await asWearer((tx) => tx.replays.find(replay.principal, replay.route, replay.key))).toEqual(replay);
    expect(await asNurse((tx) => tx.replays.find(replay.principal, replay.route, replay.key))).toBeNull();
    await expect(asWearer((tx) => tx.replays.insert(replay))).rejects.toMatchObject({ name: 'AlreadyStored' });
  });
});

describe('a count', () => {
  it('counts an event once, near misses apart, and gives uses beside', async () => {
    const alone = await enterSite(persistence.unitOfWork);
    const eventId = v7();
    const reports = [
      acceptedReport(alone, { eventId, account: null, plan: null }),
      acceptedReport(alone, { eventId, about: alone.buddy, account: null, plan: null }),
      acceptedReport(alone, {
        about: alone.neighbour,
        content: { kind: 'near-miss', breaches: [], lapses: [] },
        account: null,
        plan: null,
      }),
      acceptedReport(alone, {
        content: { stage: 'removal', step: 'gown', occurred: { ...content().occurred, from: '2026-12-31T23:59:00Z' } },
        account: null,
        plan: null,
      }),
    ];
    for (const report of reports) {
      await persistence.unitOfWork.run(alone.nurse.actor, (tx) =>
        tx.incidents.accept({
          ...report,
          telling: { ...report.telling, byAccount: alone.nurse.actor.accountId },
          replay: null,
        }),
      );
    }
    const uses = [
      { unitId: alone.ward, localDate: '2026-11-20', ensembleId: 'full', uses: 40 },
      { unitId: alone.other, localDate: '2026-12-01', ensembleId: 'full', uses: 10 },
    ];
    const counts = await persistence.unitOfWork.run(alone.infectionControl, async (tx) => {
      await tx.insight.recordUses(uses);
      await tx.insight.recordUses(uses);
      return tx.insight.count('2026-11-01', '2026-12-31');
    });
    expect(counts).toEqual({
      from: '2026-11-01',
      until: '2026-12-31',
      events: 2,
      incidents: 3,
      nearMisses: 1,
      uses: 50,
      byLayer: [
        { layer: 'gown', partial: 3, total: 0 },
        { layer: 'outer-gloves', partial: 0, total: 3 },
      ],
      byStage: [
        { stage: 'patient-care', count: 2 },
        { stage: 'removal', count: 1 },
      ],
      byStep: [{ step: 'gown', count: 1 }],
      byUnit: [
        { unitId: alone.ward, events: 2, uses: 40 },
        { unitId: alone.other, events: 0, uses: 10 },
      ].sort((a, b) => a.unitId.localeCompare(b.unitId)),
      byMonth: [
        { month: '2026-11', events: 1, uses: 40 },
        { month: '2026-12', events: 1, uses: 10 },
      ],
    });
  });
});

describe('the ledger', () => {
  it('stamps who, when and in which transaction by itself, in the order of appending', async () => {
    const entry = (action: string) => ({
      action,
      subjectKind: 'person',
      subjectId: site.wearer.personId,
      personId: site.wearer.personId,
      detail: { why: 'test' },
    });
    await asNurse((tx) => tx.ledger.appendAll([entry('first'), entry('second'), entry('third')]));
    await persistence.unitOfWork.run(site.manager, (tx) => tx.ledger.append(entry('by a manager')));
    const client = new pg.Client({ connectionString: database.adminUrl });
    await client.connect();
    const { rows } = await client.query<{ action: string; actor_account: string; actor_role: string; xact: string }>(
      `select action, actor_account, actor_role, xact from ledger_entry where detail ->> 'why' = 'test' order by entry_id`,
    );
    await client.end();
    expect(rows.map(({ action }) => action)).toEqual(['first', 'second', 'third', 'by a manager']);
    expect(rows.map((row) => row.actor_role)).toEqual(['nurse', 'nurse', 'nurse', 'manager']);
    expect(rows.map((row) => row.actor_account)).toEqual([
      ...Array<string | null>(3).fill(site.nurse.actor.accountId),
      site.manager.accountId,
    ]);
    expect(new Set(rows.slice(0, 3).map(({ xact }) => xact)).size).toBe(1);
    expect(Number(rows[3]?.xact)).toBeGreaterThan(Number(rows[0]?.xact));
  });
});
