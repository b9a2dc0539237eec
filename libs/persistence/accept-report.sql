-- The acceptance of a report, whole: one statement, so that all of it is stored or none, in one round trip. Fed one JSON
-- value whose objects hold column names, as `accept-document.ts` builds it from the same entities that everything else is
-- stored through; a test stores the same report both ways and compares row for row.
--
-- No part can see what another has just written; foreign keys are checked at the end of the statement, when all is there.
-- Columns are named one by one: a column that a later migration adds with a default keeps it.
with document as materialized (
  select $1::jsonb as value, ($1::jsonb ->> 'site_id')::uuid as site_id
),
new_event as (
  insert into event (site_id, event_id, opened_at)
  select row.site_id, row.event_id, row.opened_at
  from document, jsonb_populate_record(null::event, value -> 'event') as row
  on conflict do nothing
),
new_receipt as (
  insert into report_receipt (site_id, report_id, incident_id, received_at)
  select row.site_id, row.report_id, row.incident_id, row.received_at
  from document, jsonb_populate_record(null::report_receipt, value -> 'receipt') as row
),
new_incident as (
  insert into incident (site_id, incident_id, event_id, report_id, person_id, unit_id, ensemble_id, ensemble_version,
    state, revision, source_id, reported_at, reported_by_account, identity_confirmed_at, kind, stage, step, occurred_on,
    urgency, content)
  select row.site_id, row.incident_id, row.event_id, row.report_id, row.person_id, row.unit_id, row.ensemble_id,
    row.ensemble_version, row.state, row.revision, row.source_id, row.reported_at, row.reported_by_account,
    row.identity_confirmed_at, row.kind, row.stage, row.step, row.occurred_on, row.urgency, row.content
  from document, jsonb_populate_record(null::incident, value -> 'incident') as row
),
new_telling as (
  insert into telling (site_id, incident_id, revision, person_id, kind, content, by_account, told_at)
  select row.site_id, row.incident_id, row.revision, row.person_id, row.kind, row.content, row.by_account, row.told_at
  from document, jsonb_populate_record(null::telling, value -> 'telling') as row
),
new_text as (
  insert into telling_text (site_id, incident_id, revision, person_id, sealed)
  select row.site_id, row.incident_id, row.revision, row.person_id, row.sealed
  from document, jsonb_populate_recordset(null::telling_text, value -> 'text') as row
),
new_breaches as (
  insert into incident_breach (site_id, incident_id, ordinal, layer, extent, manner)
  select row.site_id, row.incident_id, row.ordinal, row.layer, row.extent, row.manner
  from document, jsonb_populate_recordset(null::incident_breach, value -> 'breaches') as row
),
new_lapses as (
  insert into incident_lapse (site_id, incident_id, lapse)
  select row.site_id, row.incident_id, row.lapse
  from document, jsonb_populate_recordset(null::incident_lapse, value -> 'lapses') as row
),
new_assessment as (
  insert into assessment (site_id, assessment_id, incident_id, revision, person_id, table_hash, facts_version, facts,
    result, barrier, profile, governing, made_at)
  select row.site_id, row.assessment_id, row.incident_id, row.revision, row.person_id, row.table_hash,
    row.facts_version, row.facts, row.result, row.barrier, row.profile, row.governing, row.made_at
  from document, jsonb_populate_record(null::assessment, value -> 'assessment') as row
),
new_plan as (
  insert into plan (site_id, plan_id, person_id, incident_id, revision, basis, determination_id, state, released_at,
    day_zero, last_day, content, evidence)
  select row.site_id, row.plan_id, row.person_id, row.incident_id, row.revision, row.basis, row.determination_id,
    row.state, row.released_at, row.day_zero, row.last_day, row.content, row.evidence
  from document, jsonb_populate_recordset(null::plan, value -> 'plan') as row
),
new_checks as (
  insert into plan_check (site_id, plan_id, check_key, person_id, kind, local_date, slot, ordinal, due_from,
    due_from_offset, due_until, due_until_offset, evidence, position, look_at, alerted_at, state, done_at, reading_id)
  select document.site_id, (value ->> 'plan_id')::uuid, row.check_key, (value ->> 'person_id')::uuid, row.kind,
    row.local_date, row.slot, row.ordinal, row.due_from, row.due_from_offset, row.due_until, row.due_until_offset,
    row.evidence, row.position,
    -- The site's grace at this moment: the caller need not have read the settings.
    case row.kind when 'reading' then row.due_until + grace.length else row.due_until end,
    row.alerted_at, 'due', null, null
  from document
  cross join lateral (
    select make_interval(mins => (settings ->> 'readingGraceMinutes')::integer) as length
    from site where site.site_id = document.site_id
  ) as grace
  cross join lateral jsonb_populate_recordset(null::plan_check, value -> 'checks') as row
),
new_alerts as (
  insert into alert (site_id, alert_id, alert_key, kind, person_id, incident_id, plan_id, check_key, reasons, raised_at,
    acknowledged_by, acknowledged_at, paused_until, outcome, closed_by, closed_at)
  select row.site_id, row.alert_id, row.alert_key, row.kind, row.person_id, row.incident_id, row.plan_id, row.check_key,
    row.reasons, row.raised_at, row.acknowledged_by, row.acknowledged_at, row.paused_until, row.outcome, row.closed_by,
    row.closed_at
  from document, jsonb_populate_recordset(null::alert, value -> 'alerts') as row
),
new_messages as (
  insert into outbox (site_id, message_id, alert_id, recipient, subject, text, attempts)
  select row.site_id, row.message_id, row.alert_id, row.recipient, row.subject, row.text, row.attempts
  from document, jsonb_populate_recordset(null::outbox, value -> 'outbox') as row
),
new_ledger as (
  insert into ledger_entry (site_id, action, subject_kind, subject_id, person_id, detail)
  select row.site_id, row.action, row.subject_kind, row.subject_id, row.person_id, row.detail
  from document,
    rows from (jsonb_populate_recordset(null::ledger_entry, value -> 'ledger')) with ordinality as row
  order by ordinality
),
new_replay as (
  insert into idempotency_replay (site_id, principal, route, key, fingerprint, status, body, etag)
  select row.site_id, row.principal, row.route, row.key, row.fingerprint, row.status, row.body, row.etag
  from document, jsonb_populate_recordset(null::idempotency_replay, value -> 'replay') as row
)
-- The reporter may hold somebody from the roster whose status they may not see: through the function only.
select tighten_duty_status(row.person_id, row.roster_ref, row.unit_id, row.work, row.next_review_date)
from document, jsonb_populate_recordset(null::duty_status, value -> 'duty') as row
