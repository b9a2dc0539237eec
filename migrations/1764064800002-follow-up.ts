import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Plans, readings, alerts, duty status and letters; what is sent, what is replayed, and the ledger. */
export class FollowUp1764064800002 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(TABLES);
    await runner.query(IMMUTABLE);
    await runner.query(POLICIES);
  }

  async down(runner: QueryRunner): Promise<void> {
    await runner.query(`
      drop table ledger_entry, idempotency_replay, outbox, letter_pdf, letter, duty_status, alert_text, alert, reading,
        plan_release, plan_check, plan;
      drop function refuse_change_once_signed();
    `);
  }
}

const TABLES = `
  create table plan (
    site_id uuid not null,
    plan_id uuid not null,
    person_id uuid not null,
    incident_id uuid not null,
    revision integer not null,
    basis text not null,
    determination_id uuid,
    state text not null,
    released_at timestamptz,
    day_zero date not null,
    last_day date not null,
    -- The plan without its checks.
    content jsonb not null,
    -- What the checks rest on, each once: {profile, label, source, grade}. A check names its place in this list.
    evidence jsonb not null,
    primary key (site_id, plan_id),
    constraint plan_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id),
    constraint plan_determination_fkey foreign key (site_id, determination_id) references determination,
    constraint plan_incident_key unique (site_id, incident_id),
    constraint plan_person_key unique (site_id, plan_id, person_id),
    constraint plan_basis_known check (basis in ('interim', 'determination')),
    constraint plan_state_known check (state in ('running', 'released'))
  );
  create index plan_person_idx on plan (site_id, person_id);
  create index plan_running_idx on plan (site_id, plan_id) where state = 'running';

  -- Kept narrow: a ten-year database has a thousand times more of these than of incidents.
  create table plan_check (
    site_id uuid not null,
    plan_id uuid not null,
    check_key text not null,
    person_id uuid not null,
    kind text not null,
    local_date date not null,
    slot text,
    ordinal smallint not null,
    due_from timestamptz not null,
    -- Minutes east of UTC in the plan's zone at that moment.
    due_from_offset smallint not null,
    due_until timestamptz not null,
    due_until_offset smallint not null,
    evidence smallint not null,
    position smallint not null,
    -- When the sweeper looks at it: when it was due, for a reading after the site's grace.
    look_at timestamptz not null,
    -- Set with the alert; the sweeper then leaves it.
    alerted_at timestamptz,
    state text not null,
    done_at timestamptz,
    reading_id uuid,
    primary key (site_id, plan_id, check_key),
    constraint plan_check_plan_fkey foreign key (site_id, plan_id, person_id)
      references plan (site_id, plan_id, person_id),
    constraint plan_check_state_known check (state in ('due', 'done', 'withdrawn'))
  );
  -- Across sites on purpose: the sweep's cost follows what is due, not how many sites and plans there are.
  create index plan_check_due_idx on plan_check (look_at) where state = 'due' and alerted_at is null;

  -- The signed end of a follow-up; a plan that was opened again can end again.
  create table plan_release (
    site_id uuid not null,
    plan_id uuid not null,
    released_at timestamptz not null,
    person_id uuid not null,
    released_by uuid not null,
    second_clinician uuid,
    -- Why before the window's end, sealed under the person's key.
    sealed bytea,
    primary key (site_id, plan_id, released_at),
    constraint plan_release_plan_fkey foreign key (site_id, plan_id, person_id)
      references plan (site_id, plan_id, person_id),
    constraint plan_release_signer_fkey foreign key (site_id, released_by) references account,
    constraint plan_release_second_fkey foreign key (site_id, second_clinician) references account,
    constraint plan_release_two_people check (second_clinician <> released_by),
    constraint plan_release_early_has_both check ((second_clinician is null) = (sealed is null))
  );

  create table reading (
    site_id uuid not null,
    reading_id uuid not null,
    plan_id uuid not null,
    person_id uuid not null,
    check_key text,
    taken_at timestamptz not null,
    -- As entered, exact.
    value text,
    unit text not null,
    measurement_site text not null,
    antipyretic_taken text not null,
    felt_fever text not null,
    symptoms text[] not null,
    entered_by uuid,
    entered_at timestamptz not null,
    confirmed_implausible boolean not null,
    judgement jsonb not null,
    primary key (site_id, reading_id),
    constraint reading_plan_fkey foreign key (site_id, plan_id, person_id)
      references plan (site_id, plan_id, person_id)
  );
  create index reading_plan_idx on reading (site_id, plan_id, taken_at);

  create table alert (
    site_id uuid not null,
    alert_id uuid not null,
    alert_key text not null,
    kind text not null,
    person_id uuid not null,
    incident_id uuid not null,
    plan_id uuid,
    check_key text,
    reasons jsonb not null,
    raised_at timestamptz not null,
    acknowledged_by uuid,
    acknowledged_at timestamptz,
    paused_until timestamptz,
    outcome text,
    closed_by uuid,
    closed_at timestamptz,
    primary key (site_id, alert_id),
    constraint alert_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id),
    constraint alert_plan_fkey foreign key (site_id, plan_id) references plan,
    constraint alert_key_key unique (site_id, alert_key)
  );
  create index alert_open_idx on alert (site_id, raised_at) where closed_at is null;
  create index alert_incident_idx on alert (site_id, incident_id);
  create index alert_person_idx on alert (site_id, person_id);

  -- What was decided, in words, sealed under the person's key.
  create table alert_text (
    site_id uuid not null,
    alert_id uuid not null,
    person_id uuid not null,
    sealed bytea not null,
    primary key (site_id, alert_id),
    constraint alert_text_alert_fkey foreign key (site_id, alert_id) references alert
  );

  -- All that a manager's role may read about work. No category, agent, route or reason stands here.
  create table duty_status (
    site_id uuid not null,
    person_id uuid not null,
    roster_ref uuid not null,
    unit_id uuid not null,
    work text not null,
    until_date date,
    next_review_date date,
    set_by text not null,
    primary key (site_id, person_id),
    constraint duty_status_person_fkey foreign key (site_id, person_id, unit_id)
      references person (site_id, person_id, unit_id) on update cascade,
    constraint duty_status_work_known check (work in ('all', 'no-patient-contact', 'not-on-site', 'remote-only',
      'not-rostered-until-decided')),
    constraint duty_status_set_by_known check (set_by in ('report', 'nurse'))
  );
  create index duty_status_unit_idx on duty_status (site_id, unit_id);

  create table letter (
    site_id uuid not null,
    letter_id uuid not null,
    incident_id uuid not null,
    person_id uuid not null,
    kind text not null,
    revision integer not null,
    content_hash text not null,
    paper text not null,
    created_at timestamptz not null,
    signed_by uuid,
    signed_at timestamptz,
    primary key (site_id, letter_id),
    constraint letter_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id)
  );
  create index letter_incident_idx on letter (site_id, incident_id);

  -- The bytes that were signed, sealed under the person's key.
  create table letter_pdf (
    site_id uuid not null,
    letter_id uuid not null,
    person_id uuid not null,
    sealed bytea not null,
    primary key (site_id, letter_id),
    constraint letter_pdf_letter_fkey foreign key (site_id, letter_id) references letter
  );

  create table outbox (
    site_id uuid not null constraint outbox_site_fkey references site,
    message_id uuid not null,
    alert_id uuid,
    recipient text not null,
    subject text not null,
    text text not null,
    attempts integer not null default 0,
    created_at timestamptz not null default now(),
    next_attempt_at timestamptz not null default now(),
    lease uuid,
    leased_until timestamptz,
    sent_at timestamptz,
    failure text,
    primary key (site_id, message_id),
    constraint outbox_alert_fkey foreign key (site_id, alert_id) references alert
  );
  create index outbox_waiting_idx on outbox (next_attempt_at) where sent_at is null;

  -- Stored answers to idempotency keys: a cache for retries, emptied after 30 days. The permanent guard is the receipt.
  create table idempotency_replay (
    site_id uuid not null constraint idempotency_replay_site_fkey references site,
    principal text not null,
    route text not null,
    key text not null,
    account_id uuid not null default context_account(),
    fingerprint text not null,
    status smallint not null,
    body jsonb not null,
    etag text,
    created_at timestamptz not null default now(),
    primary key (site_id, principal, route, key)
  );
  create index idempotency_replay_age_idx on idempotency_replay (created_at);

  -- Who did or read what, about whom, when: ids and verbs. The database stamps actor, time and transaction itself.
  create table ledger_entry (
    site_id uuid not null constraint ledger_entry_site_fkey references site,
    entry_id bigint generated always as identity,
    xact bigint not null default context_transaction(),
    recorded_at timestamptz not null default now(),
    actor_account uuid default context_account(),
    actor_role text not null default context_role(),
    action text not null,
    subject_kind text not null,
    subject_id text not null,
    person_id uuid,
    detail jsonb not null,
    primary key (site_id, entry_id)
  );
  create index ledger_entry_person_idx on ledger_entry (site_id, person_id, entry_id) where person_id is not null;
`;

const IMMUTABLE = `
  create function refuse_change_once_signed() returns trigger language plpgsql as $$
  begin
    if tg_op = 'DELETE' or old.signed_at is not null then
      raise exception 'a signed letter is never changed, and no letter is removed' using errcode = 'IG001';
    end if;
    return new;
  end
  $$;
  create trigger letter_stays_once_signed before update or delete on letter
    for each row execute function refuse_change_once_signed();
  create trigger letter_stays_whole before truncate on letter for each statement execute function refuse_change();
  ${['plan_release', 'reading', 'alert_text', 'letter_pdf', 'ledger_entry']
    .map(
      (table) => `
  create trigger ${table}_stays before update or delete on ${table} for each row execute function refuse_change();
  create trigger ${table}_stays_whole before truncate on ${table} for each statement execute function refuse_change();
`,
    )
    .join('')}
`;

const POLICIES = `
  alter table plan enable row level security;
  alter table plan force row level security;
  grant select, insert on plan to innerglove_app;
  grant update (revision, basis, determination_id, state, released_at, day_zero, last_day, content, evidence)
    on plan to innerglove_app;
  grant select on plan to innerglove_worker;
  create policy app_reads on plan for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer'
          and (person_id = (select context_person())
            or exists (
              select from incident parent
              where parent.site_id = plan.site_id and parent.incident_id = plan.incident_id and parent.revision = 1)))));
  create policy worker_reads on plan for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy reporter_adds on plan for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse')
      and state = 'running');
  create policy app_changes on plan for update to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))))
    -- Nobody releases the own plan.
    with check (site_id = (select context_site())
      and (state <> 'released'
        or ((select context_role()) = 'nurse' and person_id is distinct from (select context_person()))));

  alter table plan_check enable row level security;
  alter table plan_check force row level security;
  grant select, insert on plan_check to innerglove_app;
  grant update (kind, local_date, slot, ordinal, due_from, due_from_offset, due_until, due_until_offset, evidence,
    position, look_at, alerted_at, state, done_at, reading_id) on plan_check to innerglove_app;
  grant select, update (alerted_at) on plan_check to innerglove_worker;
  create policy app_reads on plan_check for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer'
          and (person_id = (select context_person())
            or exists (
              select from plan parent where parent.site_id = plan_check.site_id and parent.plan_id = plan_check.plan_id)))));
  create policy reporter_adds on plan_check for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));
  create policy app_changes on plan_check for update to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy worker_reads on plan_check for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy worker_marks on plan_check for update to innerglove_worker
    using (site_id = (select context_site()));
  create policy sweep_reads on plan_check for select to innerglove_owner
    using ((select context_purpose()) = 'sweep'
      or (site_id = (select context_site()) and (select context_purpose()) = 'change-grace'));
  create policy grace_changes on plan_check for update to innerglove_owner
    using (site_id = (select context_site()) and (select context_purpose()) = 'change-grace');

  alter table plan_release enable row level security;
  alter table plan_release force row level security;
  grant select, insert on plan_release to innerglove_app;
  create policy nurse_reads on plan_release for select to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse');
  create policy nurse_signs on plan_release for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse'
      and released_by = (select context_account()) and person_id is distinct from (select context_person()));

  alter table reading enable row level security;
  alter table reading force row level security;
  grant select, insert on reading to innerglove_app;
  create policy app_reads on reading for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy app_adds on reading for insert to innerglove_app
    with check (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));

  alter table alert enable row level security;
  alter table alert force row level security;
  grant select, insert on alert to innerglove_app, innerglove_worker;
  grant update (acknowledged_by, acknowledged_at, paused_until, outcome, closed_by, closed_at) on alert to innerglove_app;
  create policy app_reads on alert for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy worker_reads on alert for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy app_raises on alert for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse')
      and closed_at is null);
  create policy worker_raises on alert for insert to innerglove_worker
    with check (site_id = (select context_site()) and closed_at is null);
  -- Nobody acknowledges or closes an alert about themselves.
  create policy nurse_answers on alert for update to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse')
    with check (site_id = (select context_site()) and person_id is distinct from (select context_person()));

  alter table alert_text enable row level security;
  alter table alert_text force row level security;
  grant select, insert on alert_text to innerglove_app;
  create policy nurse_reads on alert_text for select to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse');
  create policy nurse_adds on alert_text for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse');

  alter table duty_status enable row level security;
  alter table duty_status force row level security;
  grant select, insert, update (roster_ref, work, until_date, next_review_date, set_by), delete
    on duty_status to innerglove_app;
  grant select on duty_status to innerglove_worker, innerglove_manager;
  create policy app_reads on duty_status for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy worker_reads on duty_status for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy manager_reads on duty_status for select to innerglove_manager
    using (site_id = (select context_site()) and (select context_role()) = 'manager'
      and unit_id = any ((select context_units())::uuid[]));
  create policy nurse_sets on duty_status for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse');
  create policy nurse_changes on duty_status for update to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse');
  create policy nurse_clears on duty_status for delete to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse'
      and person_id is distinct from (select context_person()));
  create policy report_tightens on duty_status for all to innerglove_owner
    using (site_id = (select context_site()) and (select context_purpose()) in ('tighten-duty', 'count-duty'));

  alter table letter enable row level security;
  alter table letter force row level security;
  grant select, insert, update (signed_by, signed_at) on letter to innerglove_app;
  create policy app_reads on letter for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy app_drafts on letter for insert to innerglove_app
    with check (site_id = (select context_site()) and signed_at is null
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy nurse_signs on letter for update to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'nurse')
    with check (site_id = (select context_site()) and signed_by = (select context_account()));

  alter table letter_pdf enable row level security;
  alter table letter_pdf force row level security;
  grant select, insert on letter_pdf to innerglove_app;
  create policy app_reads on letter_pdf for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy nurse_adds on letter_pdf for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse');

  -- Written by whoever raises an alert; read and marked through functions only.
  alter table outbox enable row level security;
  alter table outbox force row level security;
  grant insert (site_id, message_id, alert_id, recipient, subject, text, attempts)
    on outbox to innerglove_app, innerglove_worker;
  create policy app_adds on outbox for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));
  create policy worker_adds on outbox for insert to innerglove_worker
    with check (site_id = (select context_site()));
  create policy sender_sends on outbox for all to innerglove_owner
    using ((select context_purpose()) = 'send');

  alter table idempotency_replay enable row level security;
  alter table idempotency_replay force row level security;
  grant select, insert (site_id, principal, route, key, fingerprint, status, body, etag)
    on idempotency_replay to innerglove_app;
  create policy own_reads on idempotency_replay for select to innerglove_app
    using (site_id = (select context_site()) and account_id = (select context_account()));
  create policy own_adds on idempotency_replay for insert to innerglove_app
    with check (site_id = (select context_site()) and account_id = (select context_account()));
  create policy cleaner_forgets on idempotency_replay for all to innerglove_owner
    using ((select context_purpose()) = 'forget');

  alter table ledger_entry enable row level security;
  alter table ledger_entry force row level security;
  grant select on ledger_entry to innerglove_app;
  -- Not the stamps: those are the database's own.
  grant insert (site_id, action, subject_kind, subject_id, person_id, detail)
    on ledger_entry to innerglove_app, innerglove_worker, innerglove_manager;
  create policy app_reads on ledger_entry for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy everybody_appends on ledger_entry for insert
    to innerglove_app, innerglove_worker, innerglove_manager
    with check (site_id = (select context_site()));
`;
