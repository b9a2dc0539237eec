import { v7 } from 'uuid';
import type { AcceptedReport, UnitOfWork } from '#application';
import { acceptedReport, alertRecord } from './report.js';
import { enterSite, type TestPerson, type TestSite } from './site.js';

/** A site with at least one row in every table, and what was told, decided and written in words marked as canaries. */
export interface FullSite extends TestSite {
  readonly report: AcceptedReport;
  /** About the neighbour, typed by the buddy. */
  readonly typed: AcceptedReport;
  readonly letterId: string;
  readonly alertId: string;
}

export async function enterFullSite(work: UnitOfWork): Promise<FullSite> {
  const site = await enterSite(work);
  const by = site.nurse.actor.accountId ?? '';
  const sourceId = v7();
  const report = acceptedReport(site, { sourceId });
  const typed = acceptedReport(site, { about: site.neighbour, by: site.buddy });
  const letterId = v7();
  const { incidentId, personId } = report.incident;
  const planId = report.plan?.planId ?? '';

  await work.run(site.wearer.actor, async (tx) => {
    await tx.sources.insert(sourceId, `PT-${sourceId.slice(-6)}`);
    await tx.incidents.accept(report);
    await tx.plans.insertReading({
      readingId: v7(),
      planId,
      personId,
      checkKey: 'reading/2026-11-21/morning',
      at: '2026-11-21T07:00:00.000Z',
      value: '36.8',
      unit: 'Cel',
      measurementSite: 'mouth',
      antipyreticTaken: 'no',
      feltFever: 'no',
      symptoms: [],
      enteredBy: site.wearer.actor.accountId,
      enteredAt: '2026-11-21T07:00:00.000Z',
      confirmedImplausible: false,
      judgement: { alert: null, reasons: [], reassuring: true, plausibility: 'plausible' },
    });
  });
  await work.run(site.buddy.actor, async (tx) => {
    await tx.people.findByStaffNumber(site.neighbour.staffNumber);
    await tx.incidents.accept(typed);
  });
  const alert = alertRecord({ incidentId, personId, planId, alertKey: `${incidentId}/symptom`, kind: 'symptom' });
  await work.run(site.nurse.actor, async (tx) => {
    await tx.sources.appendStatus(sourceId, {
      status: 'suspected',
      agent: 'ebola',
      onDate: '2026-11-20',
      sampledOn: null,
      byAccount: by,
      at: '2026-11-20T12:00:00.000Z',
    });
    await tx.incidents.appendDetermination(
      { ...report.incident, revision: 2, state: 'determined' },
      {
        determinationId: v7(),
        incidentId,
        onRevision: 1,
        assessmentId: report.assessment.assessmentId,
        categoryId: 'high',
        category: 'High risk',
        departs: false,
        reason: 'canary reason',
        signedBy: by,
        signedByName: site.nurse.name,
        secondClinician: null,
        secondClinicianName: null,
        at: '2026-11-21T09:00:00.000Z',
      },
    );
    await tx.letters.insert({
      letterId,
      incidentId,
      kind: 'referral',
      revision: 2,
      contentHash: 'e'.repeat(64),
      paper: 'A4',
      signedBy: null,
      signedAt: null,
      createdAt: '2026-11-21T10:00:00.000Z',
    });
    await tx.letters.sign(letterId, by, '2026-11-21T10:05:00.000Z', Buffer.from('%PDF canary letter'));
    await tx.alerts.raise(alert);
    await tx.alerts.close(alert.alertId, by, '2026-11-21T11:00:00.000Z', 'spoken-to-well', 'canary decision');
    await tx.site.confirm({
      subject: 'vhf-uk-acdp',
      version: '1',
      hash: 'b'.repeat(64),
      confirmedBy: by,
      confirmedByName: 'Ruth Amado',
      at: '2026-11-20T09:00:00.000Z',
    });
    await tx.insight.recordUses([{ unitId: site.ward, localDate: '2026-11-20', ensembleId: 'full', uses: 12 }]);
    await tx.plans.release(typed.plan?.planId ?? '', '2026-12-12T08:00:00.000Z', {
      by,
      early: { reason: 'canary release', secondClinician: site.secondNurse.actor.accountId ?? '' },
    });
  });
  return { ...site, report, typed, letterId, alertId: alert.alertId };
}

/** Everybody of a site whose name, number or telephone must never stand anywhere in the clear. */
export const everybody = (site: TestSite): TestPerson[] => [
  site.wearer,
  site.buddy,
  site.neighbour,
  site.nurse,
  site.secondNurse,
];
