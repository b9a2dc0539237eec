import { IsNull, Not, type FindOptionsWhere } from 'typeorm';
import type { Instant } from '#domain';
import type { AlertFilter, AlertOutcome, AlertRecord, AlertStore } from '#application';
import { AlertEntity, AlertTextEntity } from '../entities/alert.entity.js';
import { decidedPlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';

function toRecord({ siteId: _site, ...entity }: AlertEntity): AlertRecord {
  return entity;
}

export class PostgresAlertStore implements AlertStore {
  constructor(private readonly scope: Scope) {}

  async raise(alert: AlertRecord): Promise<boolean> {
    const { siteId } = this.scope;
    const raised = await this.scope.change(
      `insert into alert (site_id, alert_id, alert_key, kind, person_id, incident_id, plan_id, check_key, reasons, raised_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
       on conflict (site_id, alert_key) do nothing`,
      [
        siteId,
        alert.alertId,
        alert.alertKey,
        alert.kind,
        alert.personId,
        alert.incidentId,
        alert.planId,
        alert.checkKey,
        JSON.stringify(alert.reasons),
        alert.raisedAt,
      ],
    );
    if (alert.planId !== null && alert.checkKey !== null) {
      // Also when it was raised before: the due index must not offer the check for ever.
      await this.scope.change(
        `update plan_check set alerted_at = $4
         where site_id = $1 and plan_id = $2 and check_key = $3 and alerted_at is null`,
        [siteId, alert.planId, alert.checkKey, alert.raisedAt],
      );
    }
    return raised === 1;
  }

  async find(alertId: string): Promise<AlertRecord | null> {
    const entity = await this.scope.repository(AlertEntity).findOneBy({ siteId: this.scope.siteId, alertId });
    return entity === null ? null : toRecord(entity);
  }

  async findForChange(alertId: string): Promise<AlertRecord | null> {
    const entity = await this.scope.repository(AlertEntity).findOne({
      where: { siteId: this.scope.siteId, alertId },
      lock: { mode: 'pessimistic_write' },
    });
    return entity === null ? null : toRecord(entity);
  }

  async list({ open, incidentId, personId }: AlertFilter): Promise<AlertRecord[]> {
    const where: FindOptionsWhere<AlertEntity> = { siteId: this.scope.siteId };
    if (open !== undefined) where.closedAt = open ? IsNull() : Not(IsNull());
    if (incidentId !== undefined) where.incidentId = incidentId;
    if (personId !== undefined) where.personId = personId;
    const found = await this.scope.repository(AlertEntity).find({ where, order: { raisedAt: 'ASC', alertId: 'ASC' } });
    return found.map(toRecord);
  }

  async acknowledge(alertId: string, by: string, at: Instant, pausedUntil: Instant): Promise<void> {
    await this.scope
      .repository(AlertEntity)
      .update(
        { siteId: this.scope.siteId, alertId, closedAt: IsNull() },
        { acknowledgedBy: by, acknowledgedAt: at, pausedUntil },
      );
  }

  async close(alertId: string, by: string, at: Instant, outcome: AlertOutcome, decided: string): Promise<void> {
    const { siteId } = this.scope;
    const alert = await this.scope.repository(AlertEntity).findOneByOrFail({ siteId, alertId });
    await this.scope
      .repository(AlertEntity)
      .update({ siteId, alertId, closedAt: IsNull() }, { outcome, closedBy: by, closedAt: at });
    const key = await this.scope.personKey(alert.personId);
    await this.scope.insert(AlertTextEntity, {
      siteId,
      alertId,
      personId: alert.personId,
      sealed: key.sealJson(decided, decidedPlace(siteId, alertId)),
    });
  }
}
