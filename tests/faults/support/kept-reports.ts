import type pg from 'pg';
import type { Acknowledged } from './write-loop.js';

/** One part of a report of which more or fewer rows are stored than its acknowledgement promises. */
export interface Deviation {
  readonly reportId: string;
  readonly part: string;
  readonly promised: number;
  readonly stored: number;
}

/** What is left of the acknowledged reports. Empty lists mean: every one is found, whole, once. */
export interface KeptReports {
  /** Found as one incident, under the id that was answered. */
  readonly kept: number;
  /** Acknowledged, and not there under the id that was answered. */
  readonly lost: readonly string[];
  /** Stored as more than one incident, or with a part twice. */
  readonly doubled: readonly Deviation[];
  /** Stored without a part that belongs to it. */
  readonly halfWritten: readonly Deviation[];
  /** There, although no client has it as acknowledged. */
  readonly unasked: readonly string[];
}

interface StoredReport {
  readonly report_id: string;
  readonly incident_id: string;
  readonly parts: Readonly<Record<string, number>>;
}

/**
 * Counts, for every incident in the database, the rows that its report wrote. Every count is of rows that point to the
 * incident, whatever constraint says that there can be only one.
 */
const STORED = `
  with
    receipt as (select report_id, incident_id, count(*)::integer as n from report_receipt group by 1, 2),
    told as (select incident_id, count(*)::integer as n from telling group by 1),
    breach as (select incident_id, count(*)::integer as n from incident_breach group by 1),
    assessed as (select incident_id, count(*)::integer as n from assessment group by 1),
    planned as (select incident_id, count(*)::integer as n from plan group by 1),
    checks as (
      select p.incident_id, count(*)::integer as n from plan p join plan_check c using (site_id, plan_id) group by 1),
    called as (select incident_id, count(*)::integer as n from alert where kind = 'call-back' group by 1),
    noticed as (
      select a.incident_id, count(*)::integer as n from alert a join outbox o using (site_id, alert_id)
      where a.kind = 'call-back' group by 1),
    written as (
      select subject_id, count(*)::integer as n from ledger_entry
      where action = 'incident.reported' and subject_kind = 'incident' group by 1),
    answered as (
      select body ->> 'incidentId' as incident_id, count(*)::integer as n from idempotency_replay
      where status = 201 group by 1)
  select i.report_id, i.incident_id, jsonb_build_object(
    'receipts', coalesce(receipt.n, 0),
    'events', (select count(*) from event e where e.site_id = i.site_id and e.event_id = i.event_id),
    'tellings', coalesce(told.n, 0),
    'breaches', coalesce(breach.n, 0),
    'assessments', coalesce(assessed.n, 0),
    'plans', coalesce(planned.n, 0),
    'checks', coalesce(checks.n, 0),
    'callBacks', coalesce(called.n, 0),
    'notices', coalesce(noticed.n, 0),
    'ledgerEntries', coalesce(written.n, 0),
    'storedAnswers', coalesce(answered.n, 0)) as parts
  from incident i
  left join receipt on receipt.report_id = i.report_id and receipt.incident_id = i.incident_id
  left join told on told.incident_id = i.incident_id
  left join breach on breach.incident_id = i.incident_id
  left join assessed on assessed.incident_id = i.incident_id
  left join planned on planned.incident_id = i.incident_id
  left join checks on checks.incident_id = i.incident_id
  left join called on called.incident_id = i.incident_id
  left join noticed on noticed.incident_id = i.incident_id
  left join written on written.subject_id = i.incident_id::text
  left join answered on answered.incident_id = i.incident_id::text`;

function promisedParts({
  breaches,
  plans,
  checks,
  callBacks,
}: Acknowledged['parts']): Readonly<Record<string, number>> {
  return {
    receipts: 1,
    events: 1,
    tellings: 1,
    breaches,
    assessments: 1,
    plans,
    checks,
    callBacks,
    notices: callBacks,
    ledgerEntries: 1,
    storedAnswers: 1,
  };
}

/** Compares what the clients were told with what is stored. The client of the database has to see past row security. */
export async function findKeptReports(
  database: pg.Client,
  acknowledged: readonly Acknowledged[],
): Promise<KeptReports> {
  const { rows } = await database.query<StoredReport>(STORED);
  const storedBy = Map.groupBy(rows, ({ report_id }) => report_id);
  const lost: string[] = [];
  const deviations: Deviation[] = [];
  for (const { reportId, incidentId, parts } of acknowledged) {
    const stored = storedBy.get(reportId) ?? [];
    if (stored.length > 1) {
      deviations.push({ reportId, part: 'incidents', promised: 1, stored: stored.length });
    }
    const answered = stored.find(({ incident_id }) => incident_id === incidentId);
    if (!answered) {
      lost.push(reportId);
      continue;
    }
    for (const [part, promised] of Object.entries(promisedParts(parts))) {
      const found = answered.parts[part] ?? 0;
      if (found !== promised) deviations.push({ reportId, part, promised, stored: found });
    }
  }
  const known = new Set(acknowledged.map(({ reportId }) => reportId));
  return {
    kept: acknowledged.length - lost.length,
    lost,
    doubled: deviations.filter(({ promised, stored }) => stored > promised),
    halfWritten: deviations.filter(({ promised, stored }) => stored < promised),
    unasked: [...storedBy.keys()].filter((reportId) => !known.has(reportId)),
  };
}
