import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Events, incidents and what is told, assessed and determined about them. The person's id stands in every row, held by a
 * key to the incident: a policy can then compare instead of joining, also for a row that arrives in the same statement
 * as its incident.
 */
export class Incidents1764064800001 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(TABLES);
    await runner.query(IMMUTABLE);
    await runner.query(POLICIES);
  }

  async down(runner: QueryRunner): Promise<void> {
    await runner.query(`
      drop table ppe_use, determination_text, determination, assessment, incident_lapse, incident_breach, telling_text,
        telling, incident, report_receipt, source_status, source, event;
    `);
  }
}

const TABLES = `
  create table event (
    site_id uuid not null constraint event_site_fkey references site,
    event_id uuid not null,
    opened_at timestamptz not null,
    primary key (site_id, event_id)
  );

  -- A patient, by a pseudonym only.
  create table source (
    site_id uuid not null constraint source_site_fkey references site,
    source_id uuid not null,
    pseudonym text not null,
    primary key (site_id, source_id),
    constraint source_pseudonym_key unique (site_id, pseudonym)
  );

  create table source_status (
    site_id uuid not null,
    source_id uuid not null,
    ordinal integer not null,
    status text not null,
    agent text not null,
    on_date date not null,
    sampled_on date,
    by_account uuid not null,
    stated_at timestamptz not null,
    primary key (site_id, source_id, ordinal),
    constraint source_status_source_fkey foreign key (site_id, source_id) references source,
    constraint source_status_known check (status in ('suspected', 'confirmed', 'ruled-out'))
  );

  -- The permanent guard against a report that comes twice: never partitioned, never emptied.
  create table report_receipt (
    site_id uuid not null,
    report_id uuid not null,
    incident_id uuid not null,
    received_at timestamptz not null,
    primary key (site_id, report_id)
  );

  create table incident (
    site_id uuid not null,
    incident_id uuid not null,
    event_id uuid not null,
    report_id uuid not null,
    person_id uuid not null,
    unit_id uuid not null,
    ensemble_id text not null,
    ensemble_version text not null,
    state text not null,
    revision integer not null,
    source_id uuid,
    reported_at timestamptz not null,
    reported_by_account uuid,
    identity_confirmed_at timestamptz,
    kind text not null,
    stage text not null,
    step text,
    -- The local date, in the incident's own zone, that counts and charts go by.
    occurred_on date not null,
    -- 1 is looked at first: level 3, not classified, level 2, level 1, level 0.
    urgency smallint not null,
    content jsonb not null,
    primary key (site_id, incident_id),
    constraint incident_event_fkey foreign key (site_id, event_id) references event,
    constraint incident_report_fkey foreign key (site_id, report_id) references report_receipt,
    constraint incident_person_fkey foreign key (site_id, person_id) references person,
    constraint incident_unit_fkey foreign key (site_id, unit_id) references unit,
    constraint incident_source_fkey foreign key (site_id, source_id) references source,
    constraint incident_report_key unique (site_id, report_id),
    constraint incident_person_key unique (site_id, incident_id, person_id),
    constraint incident_state_known check (state in ('open', 'determined', 'released')),
    constraint incident_kind_known check (kind in ('breach', 'lapse', 'near-miss')),
    constraint incident_urgency_known check (urgency between 1 and 5)
  );
  create index incident_queue_idx on incident (site_id, state, urgency, reported_at, incident_id);
  create index incident_urgency_idx on incident (site_id, urgency, reported_at, incident_id);
  create index incident_person_idx on incident (site_id, person_id, reported_at);
  create index incident_event_idx on incident (site_id, event_id);
  create index incident_source_idx on incident (site_id, source_id) where source_id is not null;
  create index incident_occurred_idx on incident (site_id, occurred_on);

  create table telling (
    site_id uuid not null,
    incident_id uuid not null,
    revision integer not null,
    person_id uuid not null,
    kind text not null,
    content jsonb not null,
    by_account uuid,
    told_at timestamptz not null,
    primary key (site_id, incident_id, revision),
    constraint telling_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id),
    constraint telling_kind_known check (kind in ('report', 'amendment'))
  );

  -- The free text and the buddy's name, sealed under the person's key; no row where neither was given.
  create table telling_text (
    site_id uuid not null,
    incident_id uuid not null,
    revision integer not null,
    person_id uuid not null,
    sealed bytea not null,
    primary key (site_id, incident_id, revision),
    constraint telling_text_telling_fkey foreign key (site_id, incident_id, revision) references telling,
    constraint telling_text_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id)
  );

  -- Breaches and lapses of the incident as it stands now, a row each, for counting.
  create table incident_breach (
    site_id uuid not null,
    incident_id uuid not null,
    ordinal smallint not null,
    layer text not null,
    extent text not null,
    manner text not null,
    primary key (site_id, incident_id, ordinal),
    constraint incident_breach_incident_fkey foreign key (site_id, incident_id) references incident
  );

  create table incident_lapse (
    site_id uuid not null,
    incident_id uuid not null,
    lapse text not null,
    primary key (site_id, incident_id, lapse),
    constraint incident_lapse_incident_fkey foreign key (site_id, incident_id) references incident
  );

  create table assessment (
    site_id uuid not null,
    assessment_id uuid not null,
    incident_id uuid not null,
    revision integer not null,
    person_id uuid not null,
    table_hash text not null,
    facts_version text not null,
    facts jsonb not null,
    result jsonb not null,
    barrier jsonb not null,
    profile text not null,
    governing text not null,
    made_at timestamptz not null,
    primary key (site_id, assessment_id),
    constraint assessment_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id),
    constraint assessment_basis_key unique (site_id, incident_id, revision, table_hash, facts_version)
  );

  create table determination (
    site_id uuid not null,
    determination_id uuid not null,
    incident_id uuid not null,
    person_id uuid not null,
    on_revision integer not null,
    assessment_id uuid not null,
    category_id text not null,
    category text not null,
    departs boolean not null,
    signed_by uuid not null,
    second_clinician uuid,
    signed_at timestamptz not null,
    primary key (site_id, determination_id),
    constraint determination_incident_fkey foreign key (site_id, incident_id, person_id)
      references incident (site_id, incident_id, person_id),
    constraint determination_assessment_fkey foreign key (site_id, assessment_id) references assessment,
    constraint determination_signer_fkey foreign key (site_id, signed_by) references account,
    constraint determination_second_fkey foreign key (site_id, second_clinician) references account,
    constraint determination_two_people check (second_clinician <> signed_by)
  );
  create index determination_incident_idx on determination (site_id, incident_id, signed_at);

  -- The reason in words, and the signers' names as they were signed, sealed under the person's key.
  create table determination_text (
    site_id uuid not null,
    determination_id uuid not null,
    person_id uuid not null,
    sealed bytea not null,
    primary key (site_id, determination_id),
    constraint determination_text_determination_fkey foreign key (site_id, determination_id) references determination
  );

  create table ppe_use (
    site_id uuid not null,
    unit_id uuid not null,
    local_date date not null,
    ensemble_id text not null,
    uses integer not null,
    primary key (site_id, unit_id, local_date, ensemble_id),
    constraint ppe_use_unit_fkey foreign key (site_id, unit_id) references unit,
    constraint ppe_use_counted check (uses >= 0)
  );
  create index ppe_use_date_idx on ppe_use (site_id, local_date);
`;

const IMMUTABLE = [
  'source_status',
  'report_receipt',
  'telling',
  'telling_text',
  'assessment',
  'determination',
  'determination_text',
]
  .map(
    (table) => `
  create trigger ${table}_stays before update or delete on ${table} for each row execute function refuse_change();
  create trigger ${table}_stays_whole before truncate on ${table} for each statement execute function refuse_change();
`,
  )
  .join('');

const POLICIES = `
  alter table event enable row level security;
  alter table event force row level security;
  grant select, insert on event to innerglove_app;
  create policy app_reads on event for select to innerglove_app
    using (site_id = (select context_site())
      and (select context_role()) in ('wearer', 'nurse', 'infection-control'));
  create policy reporter_adds on event for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));

  alter table source enable row level security;
  alter table source force row level security;
  grant select, insert on source to innerglove_app;
  create policy app_reads on source for select to innerglove_app
    using (site_id = (select context_site())
      and (select context_role()) in ('wearer', 'nurse', 'infection-control'));
  create policy reporter_adds on source for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));

  alter table source_status enable row level security;
  alter table source_status force row level security;
  grant select, insert on source_status to innerglove_app;
  create policy app_reads on source_status for select to innerglove_app
    using (site_id = (select context_site())
      and (select context_role()) in ('wearer', 'nurse', 'infection-control'));
  create policy nurse_states on source_status for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse'
      and by_account = (select context_account()));

  alter table report_receipt enable row level security;
  alter table report_receipt force row level security;
  grant select, insert on report_receipt to innerglove_app;
  create policy reporter_reads on report_receipt for select to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));
  create policy reporter_adds on report_receipt for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));

  -- A wearer reads the own incidents; a buddy, for a day, what the own account has just typed for somebody else, so
  -- that a resend can be answered.
  alter table incident enable row level security;
  alter table incident force row level security;
  grant select, insert on incident to innerglove_app;
  grant update (state, revision, source_id, identity_confirmed_at, kind, stage, step, occurred_on, urgency, content)
    on incident to innerglove_app;
  grant select on incident to innerglove_worker;
  create policy app_reads on incident for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer'
          and (person_id = (select context_person())
            or (reported_by_account = (select context_account()) and reported_at > now() - interval '1 day')))));
  create policy worker_reads on incident for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy reporter_adds on incident for insert to innerglove_app
    with check (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and reported_by_account = (select context_account()))));
  create policy reporter_changes on incident for update to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))))
    -- Nobody releases the own case.
    with check (site_id = (select context_site())
      and (state <> 'released'
        or ((select context_role()) = 'nurse' and person_id is distinct from (select context_person()))));

  alter table telling enable row level security;
  alter table telling force row level security;
  grant select, insert on telling to innerglove_app;
  create policy app_reads on telling for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy reporter_adds on telling for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse')
      and by_account = (select context_account()));

  alter table telling_text enable row level security;
  alter table telling_text force row level security;
  grant select, insert on telling_text to innerglove_app;
  create policy app_reads on telling_text for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy reporter_adds on telling_text for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));

  alter table incident_breach enable row level security;
  alter table incident_breach force row level security;
  grant select, insert, delete on incident_breach to innerglove_app;
  create policy app_reads on incident_breach for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer' and exists (
          select from incident parent
          where parent.site_id = incident_breach.site_id and parent.incident_id = incident_breach.incident_id
            and parent.person_id = (select context_person())))));
  create policy reporter_adds on incident_breach for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));
  create policy reporter_replaces on incident_breach for delete to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and exists (
          select from incident parent
          where parent.site_id = incident_breach.site_id and parent.incident_id = incident_breach.incident_id
            and parent.person_id = (select context_person())))));

  alter table incident_lapse enable row level security;
  alter table incident_lapse force row level security;
  grant select, insert, delete on incident_lapse to innerglove_app;
  create policy app_reads on incident_lapse for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer' and exists (
          select from incident parent
          where parent.site_id = incident_lapse.site_id and parent.incident_id = incident_lapse.incident_id
            and parent.person_id = (select context_person())))));
  create policy reporter_adds on incident_lapse for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));
  create policy reporter_replaces on incident_lapse for delete to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and exists (
          select from incident parent
          where parent.site_id = incident_lapse.site_id and parent.incident_id = incident_lapse.incident_id
            and parent.person_id = (select context_person())))));

  alter table assessment enable row level security;
  alter table assessment force row level security;
  grant select, insert on assessment to innerglove_app;
  create policy app_reads on assessment for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer'
          and (person_id = (select context_person())
            or exists (
              select from incident parent
              where parent.site_id = assessment.site_id and parent.incident_id = assessment.incident_id
                and parent.revision = 1)))));
  create policy reporter_adds on assessment for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse'));

  alter table determination enable row level security;
  alter table determination force row level security;
  grant select, insert on determination to innerglove_app;
  create policy app_reads on determination for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control')
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  -- Nobody determines the own case.
  create policy nurse_signs on determination for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse'
      and signed_by = (select context_account())
      and person_id is distinct from (select context_person()));

  alter table determination_text enable row level security;
  alter table determination_text force row level security;
  grant select, insert on determination_text to innerglove_app;
  create policy app_reads on determination_text for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy nurse_adds on determination_text for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse');

  alter table ppe_use enable row level security;
  alter table ppe_use force row level security;
  grant select, insert, update (uses) on ppe_use to innerglove_app;
  create policy app_reads on ppe_use for select to innerglove_app
    using (site_id = (select context_site())
      and (select context_role()) in ('nurse', 'infection-control', 'administrator'));
  create policy app_counts on ppe_use for insert to innerglove_app
    with check (site_id = (select context_site())
      and (select context_role()) in ('nurse', 'infection-control', 'administrator'));
  create policy app_corrects on ppe_use for update to innerglove_app
    using (site_id = (select context_site())
      and (select context_role()) in ('nurse', 'infection-control', 'administrator'));
`;
