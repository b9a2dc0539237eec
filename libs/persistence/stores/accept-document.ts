import type { AcceptedReport } from '#application';
import { AlertEntity } from '../entities/alert.entity.js';
import { AssessmentEntity } from '../entities/assessment.entity.js';
import { DutyStatusEntity } from '../entities/duty-status.entity.js';
import { IdempotencyReplayEntity } from '../entities/idempotency-replay.entity.js';
import {
  EventEntity,
  IncidentBreachEntity,
  IncidentEntity,
  IncidentLapseEntity,
  ReportReceiptEntity,
} from '../entities/incident.entity.js';
import { LedgerEntryEntity } from '../entities/ledger-entry.entity.js';
import { OutboxEntity } from '../entities/outbox.entity.js';
import { PlanCheckEntity, PlanEntity } from '../entities/plan.entity.js';
import { TellingEntity, TellingTextEntity } from '../entities/telling.entity.js';
import {
  assessmentToEntity,
  breachesOf,
  incidentToEntity,
  lapsesOf,
  tellingToEntity,
  type TellingText,
} from '../mappers/incident.mapper.js';
import { checksToEntities, EvidenceList, planToEntity } from '../mappers/plan.mapper.js';
import type { RowOf } from '../mappers/rows.js';
import type { SealingKey } from '../sealing/envelope.js';
import { tellingPlace } from '../sealing/places.js';

/** Every row that an accepted report becomes, as entities. */
export interface AcceptedRows {
  readonly event: EventEntity;
  readonly receipt: ReportReceiptEntity;
  readonly incident: IncidentEntity;
  readonly telling: TellingEntity;
  readonly text: TellingTextEntity | null;
  readonly breaches: IncidentBreachEntity[];
  readonly lapses: IncidentLapseEntity[];
  readonly assessment: AssessmentEntity;
  readonly plan: PlanEntity | null;
  /** The statement itself adds the site's grace, and that they are due. */
  readonly checks: PlanCheckEntity[];
  readonly duty: DutyStatusEntity | null;
  readonly alerts: AlertEntity[];
  readonly outbox: Partial<OutboxEntity>[];
  readonly ledger: Partial<LedgerEntryEntity>[];
  readonly replay: Partial<IdempotencyReplayEntity> | null;
}

/** Whether there is anything to seal; without it no key is needed. */
export function textOf({ account, buddy }: TellingText): TellingText | null {
  return account === null && buddy === null ? null : { account, buddy };
}

export function acceptedRows(siteId: string, report: AcceptedReport, key: SealingKey | null): AcceptedRows {
  const { incident, telling, assessment, plan } = report;
  const { incidentId, personId, reportId } = incident;
  const text = textOf(telling);
  const evidence = new EvidenceList();
  const checks =
    plan === null
      ? []
      : checksToEntities(plan.plan.checks, { siteId, plan, evidence, graceMinutes: 0, alerts: report.alerts });
  return {
    event: { siteId, eventId: incident.eventId, openedAt: incident.reportedAt },
    receipt: { siteId, reportId, incidentId, receivedAt: incident.reportedAt },
    incident: incidentToEntity(siteId, incident, assessment.result),
    telling: tellingToEntity(siteId, personId, telling),
    text:
      text === null || key === null
        ? null
        : {
            siteId,
            incidentId,
            revision: telling.revision,
            personId,
            sealed: key.sealJson(text, tellingPlace(siteId, incidentId, telling.revision)),
          },
    breaches: breachesOf(siteId, incidentId, incident.content),
    lapses: lapsesOf(siteId, incidentId, incident.content),
    assessment: assessmentToEntity(siteId, personId, assessment),
    plan: plan === null ? null : planToEntity(siteId, plan, evidence),
    checks,
    duty: report.dutyStatus === null ? null : { siteId, ...report.dutyStatus },
    alerts: report.alerts.map((alert) => ({ siteId, ...alert, reasons: [...alert.reasons] })),
    outbox: report.outbox.map((message) => ({ ...message, siteId })),
    ledger: report.ledger.map((entry) => ({ siteId, ...entry })),
    replay: report.replay === null ? null : { siteId, ...report.replay },
  };
}

/** The one JSON value of `accept-report.sql`. */
export function acceptDocument(siteId: string, rows: AcceptedRows, row: RowOf): Record<string, unknown> {
  return {
    site_id: siteId,
    person_id: rows.incident.personId,
    plan_id: rows.plan?.planId ?? null,
    event: row(EventEntity, rows.event),
    receipt: row(ReportReceiptEntity, rows.receipt),
    incident: row(IncidentEntity, rows.incident),
    telling: row(TellingEntity, rows.telling),
    text: rows.text === null ? [] : [row(TellingTextEntity, rows.text)],
    breaches: rows.breaches.map((breach) => row(IncidentBreachEntity, breach)),
    lapses: rows.lapses.map((lapse) => row(IncidentLapseEntity, lapse)),
    assessment: row(AssessmentEntity, rows.assessment),
    plan: rows.plan === null ? [] : [row(PlanEntity, rows.plan)],
    // Without the ids that all of them share, which stand once above, and without what every new check begins with.
    checks: rows.checks.map(
      ({ siteId: _site, planId: _plan, personId: _person, state: _due, lookAt: _look, ...check }) =>
        row(PlanCheckEntity, check),
    ),
    duty: rows.duty === null ? [] : [row(DutyStatusEntity, rows.duty)],
    alerts: rows.alerts.map((alert) => row(AlertEntity, alert)),
    outbox: rows.outbox.map((message) => row(OutboxEntity, message)),
    ledger: rows.ledger.map((entry) => row(LedgerEntryEntity, entry)),
    replay: rows.replay === null ? [] : [row(IdempotencyReplayEntity, rows.replay)],
  };
}
