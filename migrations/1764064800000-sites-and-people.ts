import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * The context that row security reads, then sites, units, people and accounts.
 *
 * Every policy compares with `(select context_…())`: inside a subselect it is evaluated once a statement, so that the
 * site's index can be used. Without a context each is null, and null is never equal to anything: no row, no insert.
 */
export class SitesAndPeople1764064800000 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(CONTEXT);
    await runner.query(SITES);
    await runner.query(PEOPLE);
    await runner.query(ACCOUNTS);
    await runner.query(POLICIES);
  }

  async down(runner: QueryRunner): Promise<void> {
    await runner.query(`
      drop table session, account_login, account, person_name, person_identity, person_key, person, local_confirmation,
        unit, site_key, site;
      drop function refuse_change();
      drop function context_transaction(), context_purpose(), context_units(), context_account(), context_person(), context_role(),
        context_site();
      revoke usage on schema public from innerglove_app, innerglove_worker, innerglove_manager;
    `);
  }
}

const CONTEXT = `
  revoke all on schema public from public;
  grant usage on schema public to innerglove_app, innerglove_worker, innerglove_manager;

  create function context_site() returns uuid language sql stable parallel safe
    return nullif(current_setting('innerglove.site_id', true), '')::uuid;
  create function context_role() returns text language sql stable parallel safe
    return nullif(current_setting('innerglove.role', true), '');
  create function context_person() returns uuid language sql stable parallel safe
    return nullif(current_setting('innerglove.person_id', true), '')::uuid;
  create function context_account() returns uuid language sql stable parallel safe
    return nullif(current_setting('innerglove.account_id', true), '')::uuid;
  create function context_units() returns uuid[] language sql stable parallel safe
    return coalesce(nullif(current_setting('innerglove.unit_ids', true), ''), '{}')::uuid[];
  -- The transaction's number, in the order of beginning: what the ledger is sealed by.
  create function context_transaction() returns bigint language sql volatile parallel unsafe
    return pg_current_xact_id()::text::bigint;
  -- Set by our SECURITY DEFINER functions alone. They run as the owner, whom row security holds like everybody else,
  -- except for the rows that a policy opens to the owner for this one purpose.
  create function context_purpose() returns text language sql stable parallel safe
    return nullif(current_setting('innerglove.purpose', true), '');

  create function refuse_change() returns trigger language plpgsql as $$
  begin
    raise exception 'rows of % are never changed or removed', tg_table_name using errcode = 'IG001';
  end
  $$;
`;

const SITES = `
  create table site (
    site_id uuid not null primary key,
    slug text not null constraint site_slug_key unique,
    name text not null,
    time_zone text not null,
    settings jsonb not null,
    created_at timestamptz not null default now()
  );

  -- The site's index key, wrapped under the master key: staff numbers are found through a keyed hash.
  create table site_key (
    site_id uuid not null primary key constraint site_key_site_fkey references site,
    wrapped bytea not null
  );

  create table unit (
    site_id uuid not null constraint unit_site_fkey references site,
    unit_id uuid not null,
    name text not null,
    ensemble_id text not null,
    ensemble_version text not null,
    primary key (site_id, unit_id),
    constraint unit_name_key unique (site_id, name)
  );

  create table local_confirmation (
    site_id uuid not null constraint local_confirmation_site_fkey references site,
    subject text not null,
    version text not null,
    hash text not null,
    confirmed_by uuid not null,
    confirmed_by_name text not null,
    confirmed_at timestamptz not null,
    primary key (site_id, subject, version, hash)
  );
`;

const PEOPLE = `
  create table person (
    site_id uuid not null,
    person_id uuid not null,
    unit_id uuid not null,
    pseudonym text not null,
    roster_ref uuid not null,
    job text not null,
    time_zone text not null,
    primary key (site_id, person_id),
    constraint person_unit_fkey foreign key (site_id, unit_id) references unit,
    constraint person_pseudonym_key unique (site_id, pseudonym),
    constraint person_roster_ref_key unique (site_id, roster_ref),
    -- So that what a manager reads can carry the unit and cannot disagree about it.
    constraint person_unit_key unique (site_id, person_id, unit_id)
  );

  -- The person's data key, wrapped under the master key. Without this row nothing sealed for the person can be opened.
  create table person_key (
    site_id uuid not null,
    person_id uuid not null,
    wrapped bytea not null,
    primary key (site_id, person_id),
    constraint person_key_person_fkey foreign key (site_id, person_id) references person
  );

  create table person_identity (
    site_id uuid not null,
    person_id uuid not null,
    staff_number_hash bytea not null,
    sealed bytea not null,
    primary key (site_id, person_id),
    constraint person_identity_person_fkey foreign key (site_id, person_id) references person,
    constraint person_identity_staff_number_key unique (site_id, staff_number_hash)
  );

  -- The name alone, so that a manager's role can read it for the own team and nothing else of the identity.
  create table person_name (
    site_id uuid not null,
    person_id uuid not null,
    unit_id uuid not null,
    sealed bytea not null,
    primary key (site_id, person_id),
    constraint person_name_person_fkey foreign key (site_id, person_id, unit_id)
      references person (site_id, person_id, unit_id) on update cascade
  );
  create index person_name_unit_idx on person_name (site_id, unit_id);
`;

const ACCOUNTS = `
  create table account (
    site_id uuid not null constraint account_site_fkey references site,
    account_id uuid not null,
    person_id uuid,
    role text not null,
    login text not null,
    password_hash text,
    unit_ids uuid[] not null default '{}',
    disabled_at timestamptz,
    created_at timestamptz not null default now(),
    primary key (site_id, account_id),
    constraint account_person_fkey foreign key (site_id, person_id) references person,
    constraint account_role_known check (role in ('wearer', 'nurse', 'infection-control', 'manager', 'administrator'))
  );

  -- A directory, not a table of a site: a login is looked up before the site is known, so it is unique over all sites.
  create table account_login (
    login text not null primary key,
    site_id uuid not null,
    account_id uuid not null,
    constraint account_login_account_fkey foreign key (site_id, account_id) references account
  );

  create table session (
    site_id uuid not null,
    session_id uuid not null,
    account_id uuid not null,
    -- SHA-256 of the cookie's token, which is stored nowhere.
    token_hash bytea not null,
    opened_at timestamptz not null default now(),
    seen_at timestamptz not null default now(),
    idle_limit interval not null,
    expires_at timestamptz not null,
    ended_at timestamptz,
    primary key (site_id, session_id),
    constraint session_account_fkey foreign key (site_id, account_id) references account
  );
  create index session_token_idx on session (token_hash);
  create index session_expiry_idx on session (expires_at);
`;

const POLICIES = `
  alter table site enable row level security;
  alter table site force row level security;
  grant select, insert, update (settings) on site to innerglove_app;
  grant select on site to innerglove_worker, innerglove_manager;
  create policy app_reads on site for select to innerglove_app, innerglove_worker, innerglove_manager
    using (site_id = (select context_site()));
  create policy administrator_adds on site for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy administrator_changes on site for update to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy directory_lists on site for select to innerglove_owner
    using ((select context_purpose()) = 'site-directory');

  alter table site_key enable row level security;
  alter table site_key force row level security;
  grant select, insert on site_key to innerglove_app;
  create policy app_reads on site_key for select to innerglove_app
    using (site_id = (select context_site()) and (select context_role()) in ('wearer', 'nurse', 'administrator'));
  create policy administrator_adds on site_key for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');

  alter table unit enable row level security;
  alter table unit force row level security;
  grant select, insert on unit to innerglove_app;
  grant select on unit to innerglove_worker, innerglove_manager;
  create policy app_reads on unit for select to innerglove_app, innerglove_worker, innerglove_manager
    using (site_id = (select context_site()));
  create policy administrator_adds on unit for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');

  alter table local_confirmation enable row level security;
  alter table local_confirmation force row level security;
  grant select, insert on local_confirmation to innerglove_app;
  grant select on local_confirmation to innerglove_worker;
  create policy app_reads on local_confirmation for select to innerglove_app, innerglove_worker
    using (site_id = (select context_site()));
  create policy nurse_confirms on local_confirmation for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'nurse'
      and confirmed_by = (select context_account()));

  alter table person enable row level security;
  alter table person force row level security;
  grant select, insert on person to innerglove_app;
  grant select on person to innerglove_worker;
  create policy app_reads on person for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) in ('nurse', 'infection-control', 'administrator')
        or person_id = (select context_person())));
  create policy worker_reads on person for select to innerglove_worker
    using (site_id = (select context_site()));
  create policy administrator_adds on person for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy finder_finds on person for select to innerglove_owner
    using (site_id = (select context_site()) and (select context_purpose()) = 'find-person');

  alter table person_key enable row level security;
  alter table person_key force row level security;
  grant select, insert on person_key to innerglove_app;
  grant select on person_key to innerglove_manager;
  create policy app_reads on person_key for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  -- Names, under the manager's role, are those of the own team: so are the keys.
  create policy manager_reads on person_key for select to innerglove_manager
    using (site_id = (select context_site()) and exists (
      select from person_name name where name.site_id = person_key.site_id and name.person_id = person_key.person_id));
  create policy administrator_adds on person_key for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy finder_finds on person_key for select to innerglove_owner
    using (site_id = (select context_site()) and (select context_purpose()) = 'find-person');

  alter table person_identity enable row level security;
  alter table person_identity force row level security;
  grant select, insert on person_identity to innerglove_app;
  create policy app_reads on person_identity for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy administrator_adds on person_identity for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy finder_finds on person_identity for select to innerglove_owner
    using (site_id = (select context_site()) and (select context_purpose()) = 'find-person');

  alter table person_name enable row level security;
  alter table person_name force row level security;
  grant select, insert on person_name to innerglove_app;
  grant select on person_name to innerglove_manager;
  create policy app_reads on person_name for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'nurse'
        or ((select context_role()) = 'wearer' and person_id = (select context_person()))));
  create policy manager_reads on person_name for select to innerglove_manager
    using (site_id = (select context_site()) and (select context_role()) = 'manager'
      and unit_id = any ((select context_units())::uuid[]));
  create policy administrator_adds on person_name for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');

  alter table account enable row level security;
  alter table account force row level security;
  grant select (site_id, account_id, person_id, role, login, unit_ids, disabled_at, created_at), insert
    on account to innerglove_app;
  create policy app_reads on account for select to innerglove_app
    using (site_id = (select context_site())
      and ((select context_role()) = 'administrator' or account_id = (select context_account())));
  create policy administrator_adds on account for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy sign_in_reads on account for select to innerglove_owner
    using ((select context_purpose()) = 'sign-in');

  alter table account_login enable row level security;
  alter table account_login force row level security;
  grant insert on account_login to innerglove_app;
  create policy administrator_adds on account_login for insert to innerglove_app
    with check (site_id = (select context_site()) and (select context_role()) = 'administrator');
  create policy sign_in_reads on account_login for select to innerglove_owner
    using ((select context_purpose()) = 'sign-in');

  -- No role may touch a session: it is opened, found and ended through functions.
  alter table session enable row level security;
  alter table session force row level security;
  create policy sign_in_keeps on session for all to innerglove_owner
    using ((select context_purpose()) = 'sign-in');
`;
