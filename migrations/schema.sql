-- The schema after all migrations, written by `npm run db:dump`. Read it in a review; change it by a migration.

-- role innerglove_app: no superuser, held by row security, inherits nothing, may become innerglove_manager

-- role innerglove_manager: no superuser, held by row security, inherits nothing

-- role innerglove_owner: no superuser, held by row security, inherits

-- role innerglove_worker: no superuser, held by row security, inherits nothing

schema pgboss owned by innerglove_owner
grant usage on schema pgboss to innerglove_app;
grant usage on schema pgboss to innerglove_worker;

schema public owned by pg_database_owner
grant usage on schema public to innerglove_app;
grant usage on schema public to innerglove_manager;
grant usage on schema public to innerglove_worker;

CREATE OR REPLACE FUNCTION public.change_reading_grace(minutes integer)
 RETURNS void
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    if context_role() is distinct from 'administrator' then
      raise exception 'only an administrator changes the settings' using errcode = 'insufficient_privilege';
    end if;
    perform set_config('innerglove.purpose', 'change-grace', true);
    update plan_check set look_at = due_until + make_interval(mins => minutes)
    where site_id = context_site() and kind = 'reading' and state = 'due' and alerted_at is null;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function change_reading_grace(minutes integer) to innerglove_app;

CREATE OR REPLACE FUNCTION public.context_account()
 RETURNS uuid
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN (NULLIF(current_setting('innerglove.account_id'::text, true), ''::text))::uuid;
grant execute on function context_account() to public;

CREATE OR REPLACE FUNCTION public.context_person()
 RETURNS uuid
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN (NULLIF(current_setting('innerglove.person_id'::text, true), ''::text))::uuid;
grant execute on function context_person() to public;

CREATE OR REPLACE FUNCTION public.context_purpose()
 RETURNS text
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN NULLIF(current_setting('innerglove.purpose'::text, true), ''::text);
grant execute on function context_purpose() to public;

CREATE OR REPLACE FUNCTION public.context_role()
 RETURNS text
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN NULLIF(current_setting('innerglove.role'::text, true), ''::text);
grant execute on function context_role() to public;

CREATE OR REPLACE FUNCTION public.context_site()
 RETURNS uuid
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN (NULLIF(current_setting('innerglove.site_id'::text, true), ''::text))::uuid;
grant execute on function context_site() to public;

CREATE OR REPLACE FUNCTION public.context_transaction()
 RETURNS bigint
 LANGUAGE sql
RETURN ((pg_current_xact_id())::text)::bigint;
grant execute on function context_transaction() to public;

CREATE OR REPLACE FUNCTION public.context_units()
 RETURNS uuid[]
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN (COALESCE(NULLIF(current_setting('innerglove.unit_ids'::text, true), ''::text), '{}'::text))::uuid[];
grant execute on function context_units() to public;

CREATE OR REPLACE FUNCTION public.due_checks(at_most integer)
 RETURNS TABLE(site_id uuid, plan_id uuid, check_key text, kind text, due_until timestamp with time zone)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'sweep', true);
    return query
      select c.site_id, c.plan_id, c.check_key, c.kind, c.due_until
      from plan_check c
      where c.state = 'due' and c.alerted_at is null and c.look_at <= now()
      order by c.look_at
      limit at_most;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function due_checks(at_most integer) to innerglove_worker;

CREATE OR REPLACE FUNCTION public.duty_status_counts()
 RETURNS TABLE(work text, people integer)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    if context_role() is null or context_role() not in ('nurse', 'infection-control') then
      return;
    end if;
    perform set_config('innerglove.purpose', 'count-duty', true);
    return query
      select d.work, count(*)::integer from duty_status d where d.site_id = context_site()
      group by d.work order by strictness(d.work);
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function duty_status_counts() to innerglove_app;

CREATE OR REPLACE FUNCTION public.end_session(of_token_hash bytea)
 RETURNS void
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    update session set ended_at = now() where token_hash = of_token_hash and ended_at is null;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function end_session(of_token_hash bytea) to innerglove_app;

CREATE OR REPLACE FUNCTION public.find_account(wanted_login text)
 RETURNS TABLE(site_id uuid, account_id uuid, person_id uuid, role text, login text, unit_ids uuid[], password_hash text)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    return query
      select a.site_id, a.account_id, a.person_id, a.role, a.login, a.unit_ids, a.password_hash
      from account_login l join account a on a.site_id = l.site_id and a.account_id = l.account_id
      where l.login = wanted_login and a.disabled_at is null and a.password_hash is not null;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function find_account(wanted_login text) to innerglove_app;

CREATE OR REPLACE FUNCTION public.find_person(of_staff_number_hash bytea)
 RETURNS TABLE(person_id uuid, unit_id uuid, pseudonym text, roster_ref uuid, job text, time_zone text, wrapped bytea)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    if context_role() is null or context_role() not in ('wearer', 'nurse', 'administrator') then
      return;
    end if;
    perform set_config('innerglove.purpose', 'find-person', true);
    return query
      select p.person_id, p.unit_id, p.pseudonym, p.roster_ref, p.job, p.time_zone, k.wrapped
      from person_identity i
      join person p on p.site_id = i.site_id and p.person_id = i.person_id
      join person_key k on k.site_id = i.site_id and k.person_id = i.person_id
      where i.site_id = context_site() and i.staff_number_hash = of_staff_number_hash;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function find_person(of_staff_number_hash bytea) to innerglove_app;

CREATE OR REPLACE FUNCTION public.find_session(of_token_hash bytea)
 RETURNS TABLE(session_id uuid, site_id uuid, account_id uuid, person_id uuid, role text, login text, unit_ids uuid[])
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    return query
      select s.session_id, a.site_id, a.account_id, a.person_id, a.role, a.login, a.unit_ids
      from session s join account a on a.site_id = s.site_id and a.account_id = s.account_id
      where s.token_hash = of_token_hash and s.ended_at is null and s.expires_at > now()
        and s.seen_at > now() - s.idle_limit and a.disabled_at is null;
    if found then
      update session s set seen_at = now()
      where s.token_hash = of_token_hash and s.ended_at is null and s.seen_at < now() - interval '1 minute';
    end if;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function find_session(of_token_hash bytea) to innerglove_app;

CREATE OR REPLACE FUNCTION public.forget_expired(at_most integer)
 RETURNS integer
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  declare
    replays integer;
    sessions integer;
  begin
    perform set_config('innerglove.purpose', 'forget', true);
    delete from idempotency_replay r using (
      select o.site_id, o.principal, o.route, o.key from idempotency_replay o
      where o.created_at < now() - interval '30 days' order by o.created_at limit at_most
    ) old
    where r.site_id = old.site_id and r.principal = old.principal and r.route = old.route and r.key = old.key;
    get diagnostics replays = row_count;
    perform set_config('innerglove.purpose', 'sign-in', true);
    delete from session s using (
      select o.site_id, o.session_id from session o
      where o.expires_at < now() - interval '7 days' order by o.expires_at limit at_most
    ) old
    where s.site_id = old.site_id and s.session_id = old.session_id;
    get diagnostics sessions = row_count;
    perform set_config('innerglove.purpose', '', true);
    return replays + sessions;
  end
  $function$;
grant execute on function forget_expired(at_most integer) to innerglove_worker;

CREATE OR REPLACE FUNCTION public.lease_messages(at_most integer, lease_for interval)
 RETURNS TABLE(site_id uuid, message_id uuid, alert_id uuid, recipient text, subject text, text text, attempts integer, lease uuid)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'send', true);
    return query
      update outbox o set lease = gen_random_uuid(), leased_until = now() + lease_for, attempts = o.attempts + 1
      from (
        select w.site_id, w.message_id from outbox w
        where w.sent_at is null and w.next_attempt_at <= now() and (w.leased_until is null or w.leased_until < now())
        order by w.next_attempt_at
        limit at_most
        for update skip locked
      ) waiting
      where o.site_id = waiting.site_id and o.message_id = waiting.message_id
      returning o.site_id, o.message_id, o.alert_id, o.recipient, o.subject, o.text, o.attempts, o.lease;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function lease_messages(at_most integer, lease_for interval) to innerglove_worker;

CREATE OR REPLACE FUNCTION public.list_sites()
 RETURNS TABLE(site_id uuid, slug text, name text)
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    perform set_config('innerglove.purpose', 'site-directory', true);
    return query select s.site_id, s.slug, s.name from site s order by s.slug;
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function list_sites() to innerglove_app;

CREATE OR REPLACE FUNCTION public.open_session(of_site uuid, of_account uuid, with_token_hash bytea, idle interval, lifetime interval)
 RETURNS uuid
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  declare
    opened uuid := gen_random_uuid();
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    insert into session (site_id, session_id, account_id, token_hash, idle_limit, expires_at)
    values (of_site, opened, of_account, with_token_hash, idle, now() + lifetime);
    perform set_config('innerglove.purpose', '', true);
    return opened;
  end
  $function$;
grant execute on function open_session(of_site uuid, of_account uuid, with_token_hash bytea, idle interval, lifetime interval) to innerglove_app;

CREATE OR REPLACE FUNCTION public.refuse_change()
 RETURNS trigger
 LANGUAGE plpgsql
AS $function$
  begin
    raise exception 'rows of % are never changed or removed', tg_table_name using errcode = 'IG001';
  end
  $function$;
grant execute on function refuse_change() to public;

CREATE OR REPLACE FUNCTION public.refuse_change_once_signed()
 RETURNS trigger
 LANGUAGE plpgsql
AS $function$
  begin
    if tg_op = 'DELETE' or old.signed_at is not null then
      raise exception 'a signed letter is never changed, and no letter is removed' using errcode = 'IG001';
    end if;
    return new;
  end
  $function$;
grant execute on function refuse_change_once_signed() to public;

CREATE OR REPLACE FUNCTION public.settle_message(of_site uuid, of_message uuid, of_lease uuid, with_failure text)
 RETURNS boolean
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  declare
    settled boolean;
  begin
    perform set_config('innerglove.purpose', 'send', true);
    update outbox o
    set sent_at = case when with_failure is null then now() end,
      failure = with_failure,
      lease = null,
      leased_until = null,
      next_attempt_at = now() + least(interval '1 hour', interval '30 seconds' * power(2, least(o.attempts, 10) - 1))
    where o.site_id = of_site and o.message_id = of_message and o.lease = of_lease and o.sent_at is null;
    settled := found;
    perform set_config('innerglove.purpose', '', true);
    return settled;
  end
  $function$;
grant execute on function settle_message(of_site uuid, of_message uuid, of_lease uuid, with_failure text) to innerglove_worker;

CREATE OR REPLACE FUNCTION public.strictness(work text)
 RETURNS integer
 LANGUAGE sql
 IMMUTABLE PARALLEL SAFE
RETURN array_position(ARRAY['all'::text, 'no-patient-contact'::text, 'not-on-site'::text, 'remote-only'::text, 'not-rostered-until-decided'::text], work);
grant execute on function strictness(work text) to public;

CREATE OR REPLACE FUNCTION public.tighten_duty_status(of_person uuid, with_roster_ref uuid, of_unit uuid, to_work text, review date)
 RETURNS void
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'pg_catalog', 'public', 'pg_temp'
AS $function$
  begin
    if context_role() is null or context_role() not in ('wearer', 'nurse') then
      raise exception 'only a report tightens a duty status' using errcode = 'insufficient_privilege';
    end if;
    perform set_config('innerglove.purpose', 'tighten-duty', true);
    insert into duty_status as present
      (site_id, person_id, roster_ref, unit_id, work, until_date, next_review_date, set_by)
    values (context_site(), of_person, with_roster_ref, of_unit, to_work, null, review, 'report')
    on conflict (site_id, person_id) do update
      set work = excluded.work, until_date = null, next_review_date = excluded.next_review_date, set_by = 'report'
      where strictness(excluded.work) >= strictness(present.work);
    perform set_config('innerglove.purpose', '', true);
  end
  $function$;
grant execute on function tighten_duty_status(of_person uuid, with_roster_ref uuid, of_unit uuid, to_work text, review date) to innerglove_app;

create table account (
  site_id uuid not null,
  account_id uuid not null,
  person_id uuid,
  role text not null,
  login text not null,
  password_hash text,
  unit_ids uuid[] not null default '{}'::uuid[],
  disabled_at timestamp with time zone,
  created_at timestamp with time zone not null default now(),
  constraint account_person_fkey FOREIGN KEY (site_id, person_id) REFERENCES person(site_id, person_id),
  constraint account_pkey PRIMARY KEY (site_id, account_id),
  constraint account_role_known CHECK ((role = ANY (ARRAY['wearer'::text, 'nurse'::text, 'infection-control'::text, 'manager'::text, 'administrator'::text]))),
  constraint account_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table account enable row level security;
alter table account force row level security;
create policy administrator_adds on account for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on account for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'administrator'::text) OR (account_id = ( SELECT context_account() AS context_account)))));
create policy sign_in_reads on account for select to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'sign-in'::text));
grant insert on account to innerglove_app;
grant select (site_id, account_id, person_id, role, login, unit_ids, disabled_at, created_at) on account to innerglove_app;

create table account_login (
  login text not null,
  site_id uuid not null,
  account_id uuid not null,
  constraint account_login_account_fkey FOREIGN KEY (site_id, account_id) REFERENCES account(site_id, account_id),
  constraint account_login_pkey PRIMARY KEY (login)
);
alter table account_login enable row level security;
alter table account_login force row level security;
create policy administrator_adds on account_login for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy sign_in_reads on account_login for select to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'sign-in'::text));
grant insert on account_login to innerglove_app;

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
  raised_at timestamp with time zone not null,
  acknowledged_by uuid,
  acknowledged_at timestamp with time zone,
  paused_until timestamp with time zone,
  outcome text,
  closed_by uuid,
  closed_at timestamp with time zone,
  constraint alert_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint alert_key_key UNIQUE (site_id, alert_key),
  constraint alert_pkey PRIMARY KEY (site_id, alert_id),
  constraint alert_plan_fkey FOREIGN KEY (site_id, plan_id) REFERENCES plan(site_id, plan_id)
);
CREATE INDEX alert_incident_idx ON public.alert USING btree (site_id, incident_id);
CREATE INDEX alert_open_idx ON public.alert USING btree (site_id, raised_at) WHERE (closed_at IS NULL);
CREATE INDEX alert_person_idx ON public.alert USING btree (site_id, person_id);
alter table alert enable row level security;
alter table alert force row level security;
create policy app_raises on alert for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text])) AND (closed_at IS NULL)));
create policy app_reads on alert for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy nurse_answers on alert for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)))
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))));
create policy worker_raises on alert for insert to innerglove_worker
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (closed_at IS NULL)));
create policy worker_reads on alert for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on alert to innerglove_app;
grant insert, select on alert to innerglove_worker;
grant update (acknowledged_by, acknowledged_at, paused_until, outcome, closed_by, closed_at) on alert to innerglove_app;

create table alert_text (
  site_id uuid not null,
  alert_id uuid not null,
  person_id uuid not null,
  sealed bytea not null,
  constraint alert_text_alert_fkey FOREIGN KEY (site_id, alert_id) REFERENCES alert(site_id, alert_id),
  constraint alert_text_pkey PRIMARY KEY (site_id, alert_id)
);
alter table alert_text enable row level security;
alter table alert_text force row level security;
create policy nurse_adds on alert_text for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
create policy nurse_reads on alert_text for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
grant insert, select on alert_text to innerglove_app;
CREATE TRIGGER alert_text_stays BEFORE DELETE OR UPDATE ON public.alert_text FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER alert_text_stays_whole BEFORE TRUNCATE ON public.alert_text FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

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
  made_at timestamp with time zone not null,
  constraint assessment_basis_key UNIQUE (site_id, incident_id, revision, table_hash, facts_version),
  constraint assessment_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint assessment_pkey PRIMARY KEY (site_id, assessment_id)
);
alter table assessment enable row level security;
alter table assessment force row level security;
create policy app_reads on assessment for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND ((person_id = ( SELECT context_person() AS context_person)) OR (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = assessment.site_id) AND (parent.incident_id = assessment.incident_id) AND (parent.revision = 1)))))))));
create policy reporter_adds on assessment for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
grant insert, select on assessment to innerglove_app;
CREATE TRIGGER assessment_stays BEFORE DELETE OR UPDATE ON public.assessment FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER assessment_stays_whole BEFORE TRUNCATE ON public.assessment FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

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
  signed_at timestamp with time zone not null,
  constraint determination_assessment_fkey FOREIGN KEY (site_id, assessment_id) REFERENCES assessment(site_id, assessment_id),
  constraint determination_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint determination_pkey PRIMARY KEY (site_id, determination_id),
  constraint determination_second_fkey FOREIGN KEY (site_id, second_clinician) REFERENCES account(site_id, account_id),
  constraint determination_signer_fkey FOREIGN KEY (site_id, signed_by) REFERENCES account(site_id, account_id),
  constraint determination_two_people CHECK ((second_clinician <> signed_by))
);
CREATE INDEX determination_incident_idx ON public.determination USING btree (site_id, incident_id, signed_at);
alter table determination enable row level security;
alter table determination force row level security;
create policy app_reads on determination for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy nurse_signs on determination for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text) AND (signed_by = ( SELECT context_account() AS context_account)) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))));
grant insert, select on determination to innerglove_app;
CREATE TRIGGER determination_stays BEFORE DELETE OR UPDATE ON public.determination FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER determination_stays_whole BEFORE TRUNCATE ON public.determination FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table determination_text (
  site_id uuid not null,
  determination_id uuid not null,
  person_id uuid not null,
  sealed bytea not null,
  constraint determination_text_determination_fkey FOREIGN KEY (site_id, determination_id) REFERENCES determination(site_id, determination_id),
  constraint determination_text_pkey PRIMARY KEY (site_id, determination_id)
);
alter table determination_text enable row level security;
alter table determination_text force row level security;
create policy app_reads on determination_text for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy nurse_adds on determination_text for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
grant insert, select on determination_text to innerglove_app;
CREATE TRIGGER determination_text_stays BEFORE DELETE OR UPDATE ON public.determination_text FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER determination_text_stays_whole BEFORE TRUNCATE ON public.determination_text FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table duty_status (
  site_id uuid not null,
  person_id uuid not null,
  roster_ref uuid not null,
  unit_id uuid not null,
  work text not null,
  until_date date,
  next_review_date date,
  set_by text not null,
  constraint duty_status_person_fkey FOREIGN KEY (site_id, person_id, unit_id) REFERENCES person(site_id, person_id, unit_id) ON UPDATE CASCADE,
  constraint duty_status_pkey PRIMARY KEY (site_id, person_id),
  constraint duty_status_set_by_known CHECK ((set_by = ANY (ARRAY['report'::text, 'nurse'::text]))),
  constraint duty_status_work_known CHECK ((work = ANY (ARRAY['all'::text, 'no-patient-contact'::text, 'not-on-site'::text, 'remote-only'::text, 'not-rostered-until-decided'::text])))
);
CREATE INDEX duty_status_unit_idx ON public.duty_status USING btree (site_id, unit_id);
alter table duty_status enable row level security;
alter table duty_status force row level security;
create policy app_reads on duty_status for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy manager_reads on duty_status for select to innerglove_manager
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'manager'::text) AND (unit_id = ANY (( SELECT context_units() AS context_units)::uuid[]))));
create policy nurse_changes on duty_status for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
create policy nurse_clears on duty_status for delete to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))));
create policy nurse_sets on duty_status for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
create policy report_tightens on duty_status for all to innerglove_owner
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = ANY (ARRAY['tighten-duty'::text, 'count-duty'::text]))));
create policy worker_reads on duty_status for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant delete, insert, select on duty_status to innerglove_app;
grant select on duty_status to innerglove_manager;
grant select on duty_status to innerglove_worker;
grant update (roster_ref, work, until_date, next_review_date, set_by) on duty_status to innerglove_app;

create table event (
  site_id uuid not null,
  event_id uuid not null,
  opened_at timestamp with time zone not null,
  constraint event_pkey PRIMARY KEY (site_id, event_id),
  constraint event_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table event enable row level security;
alter table event force row level security;
create policy app_reads on event for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text, 'infection-control'::text]))));
create policy reporter_adds on event for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
grant insert, select on event to innerglove_app;

create table idempotency_replay (
  site_id uuid not null,
  principal text not null,
  route text not null,
  key text not null,
  account_id uuid not null default context_account(),
  fingerprint text not null,
  status smallint not null,
  body jsonb not null,
  etag text,
  created_at timestamp with time zone not null default now(),
  constraint idempotency_replay_pkey PRIMARY KEY (site_id, principal, route, key),
  constraint idempotency_replay_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
CREATE INDEX idempotency_replay_age_idx ON public.idempotency_replay USING btree (created_at);
alter table idempotency_replay enable row level security;
alter table idempotency_replay force row level security;
create policy cleaner_forgets on idempotency_replay for all to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'forget'::text));
create policy own_adds on idempotency_replay for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (account_id = ( SELECT context_account() AS context_account))));
create policy own_reads on idempotency_replay for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (account_id = ( SELECT context_account() AS context_account))));
grant select on idempotency_replay to innerglove_app;
grant insert (site_id, principal, route, key, fingerprint, status, body, etag) on idempotency_replay to innerglove_app;

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
  reported_at timestamp with time zone not null,
  reported_by_account uuid,
  identity_confirmed_at timestamp with time zone,
  kind text not null,
  stage text not null,
  step text,
  occurred_on date not null,
  urgency smallint not null,
  content jsonb not null,
  constraint incident_event_fkey FOREIGN KEY (site_id, event_id) REFERENCES event(site_id, event_id),
  constraint incident_kind_known CHECK ((kind = ANY (ARRAY['breach'::text, 'lapse'::text, 'near-miss'::text]))),
  constraint incident_person_fkey FOREIGN KEY (site_id, person_id) REFERENCES person(site_id, person_id),
  constraint incident_person_key UNIQUE (site_id, incident_id, person_id),
  constraint incident_pkey PRIMARY KEY (site_id, incident_id),
  constraint incident_report_fkey FOREIGN KEY (site_id, report_id) REFERENCES report_receipt(site_id, report_id),
  constraint incident_report_key UNIQUE (site_id, report_id),
  constraint incident_source_fkey FOREIGN KEY (site_id, source_id) REFERENCES source(site_id, source_id),
  constraint incident_state_known CHECK ((state = ANY (ARRAY['open'::text, 'determined'::text, 'released'::text]))),
  constraint incident_unit_fkey FOREIGN KEY (site_id, unit_id) REFERENCES unit(site_id, unit_id),
  constraint incident_urgency_known CHECK (((urgency >= 1) AND (urgency <= 5)))
);
CREATE INDEX incident_event_idx ON public.incident USING btree (site_id, event_id);
CREATE INDEX incident_occurred_idx ON public.incident USING btree (site_id, occurred_on);
CREATE INDEX incident_person_idx ON public.incident USING btree (site_id, person_id, reported_at);
CREATE INDEX incident_queue_idx ON public.incident USING btree (site_id, state, urgency, reported_at, incident_id);
CREATE INDEX incident_source_idx ON public.incident USING btree (site_id, source_id) WHERE (source_id IS NOT NULL);
CREATE INDEX incident_urgency_idx ON public.incident USING btree (site_id, urgency, reported_at, incident_id);
alter table incident enable row level security;
alter table incident force row level security;
create policy app_reads on incident for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND ((person_id = ( SELECT context_person() AS context_person)) OR ((reported_by_account = ( SELECT context_account() AS context_account)) AND (reported_at > (now() - '1 day'::interval))))))));
create policy reporter_adds on incident for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (reported_by_account = ( SELECT context_account() AS context_account))))));
create policy reporter_changes on incident for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))))
  with check (((site_id = ( SELECT context_site() AS context_site)) AND ((state <> 'released'::text) OR ((( SELECT context_role() AS context_role) = 'nurse'::text) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))))));
create policy worker_reads on incident for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on incident to innerglove_app;
grant select on incident to innerglove_worker;
grant update (state, revision, source_id, identity_confirmed_at, kind, stage, step, occurred_on, urgency, content) on incident to innerglove_app;

create table incident_breach (
  site_id uuid not null,
  incident_id uuid not null,
  ordinal smallint not null,
  layer text not null,
  extent text not null,
  manner text not null,
  constraint incident_breach_incident_fkey FOREIGN KEY (site_id, incident_id) REFERENCES incident(site_id, incident_id),
  constraint incident_breach_pkey PRIMARY KEY (site_id, incident_id, ordinal)
);
alter table incident_breach enable row level security;
alter table incident_breach force row level security;
create policy app_reads on incident_breach for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = incident_breach.site_id) AND (parent.incident_id = incident_breach.incident_id) AND (parent.person_id = ( SELECT context_person() AS context_person)))))))));
create policy reporter_adds on incident_breach for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
create policy reporter_replaces on incident_breach for delete to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = incident_breach.site_id) AND (parent.incident_id = incident_breach.incident_id) AND (parent.person_id = ( SELECT context_person() AS context_person)))))))));
grant delete, insert, select on incident_breach to innerglove_app;

create table incident_lapse (
  site_id uuid not null,
  incident_id uuid not null,
  lapse text not null,
  constraint incident_lapse_incident_fkey FOREIGN KEY (site_id, incident_id) REFERENCES incident(site_id, incident_id),
  constraint incident_lapse_pkey PRIMARY KEY (site_id, incident_id, lapse)
);
alter table incident_lapse enable row level security;
alter table incident_lapse force row level security;
create policy app_reads on incident_lapse for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = incident_lapse.site_id) AND (parent.incident_id = incident_lapse.incident_id) AND (parent.person_id = ( SELECT context_person() AS context_person)))))))));
create policy reporter_adds on incident_lapse for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
create policy reporter_replaces on incident_lapse for delete to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = incident_lapse.site_id) AND (parent.incident_id = incident_lapse.incident_id) AND (parent.person_id = ( SELECT context_person() AS context_person)))))))));
grant delete, insert, select on incident_lapse to innerglove_app;

create table ledger_entry (
  site_id uuid not null,
  entry_id bigint generated always as identity not null,
  xact bigint not null default context_transaction(),
  recorded_at timestamp with time zone not null default now(),
  actor_account uuid default context_account(),
  actor_role text not null default context_role(),
  action text not null,
  subject_kind text not null,
  subject_id text not null,
  person_id uuid,
  detail jsonb not null,
  constraint ledger_entry_pkey PRIMARY KEY (site_id, entry_id),
  constraint ledger_entry_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
CREATE INDEX ledger_entry_person_idx ON public.ledger_entry USING btree (site_id, person_id, entry_id) WHERE (person_id IS NOT NULL);
alter table ledger_entry enable row level security;
alter table ledger_entry force row level security;
create policy app_reads on ledger_entry for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy everybody_appends on ledger_entry for insert to innerglove_app, innerglove_manager, innerglove_worker
  with check ((site_id = ( SELECT context_site() AS context_site)));
grant select on ledger_entry to innerglove_app;
grant insert (site_id, action, subject_kind, subject_id, person_id, detail) on ledger_entry to innerglove_app;
grant insert (site_id, action, subject_kind, subject_id, person_id, detail) on ledger_entry to innerglove_manager;
grant insert (site_id, action, subject_kind, subject_id, person_id, detail) on ledger_entry to innerglove_worker;
CREATE TRIGGER ledger_entry_stays BEFORE DELETE OR UPDATE ON public.ledger_entry FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER ledger_entry_stays_whole BEFORE TRUNCATE ON public.ledger_entry FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table letter (
  site_id uuid not null,
  letter_id uuid not null,
  incident_id uuid not null,
  person_id uuid not null,
  kind text not null,
  revision integer not null,
  content_hash text not null,
  paper text not null,
  created_at timestamp with time zone not null,
  signed_by uuid,
  signed_at timestamp with time zone,
  constraint letter_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint letter_pkey PRIMARY KEY (site_id, letter_id)
);
CREATE INDEX letter_incident_idx ON public.letter USING btree (site_id, incident_id);
alter table letter enable row level security;
alter table letter force row level security;
create policy app_drafts on letter for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (signed_at IS NULL) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy app_reads on letter for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy nurse_signs on letter for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)))
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (signed_by = ( SELECT context_account() AS context_account))));
grant insert, select on letter to innerglove_app;
grant update (signed_by, signed_at) on letter to innerglove_app;
CREATE TRIGGER letter_stays_once_signed BEFORE DELETE OR UPDATE ON public.letter FOR EACH ROW EXECUTE FUNCTION refuse_change_once_signed();
CREATE TRIGGER letter_stays_whole BEFORE TRUNCATE ON public.letter FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table letter_pdf (
  site_id uuid not null,
  letter_id uuid not null,
  person_id uuid not null,
  sealed bytea not null,
  constraint letter_pdf_letter_fkey FOREIGN KEY (site_id, letter_id) REFERENCES letter(site_id, letter_id),
  constraint letter_pdf_pkey PRIMARY KEY (site_id, letter_id)
);
alter table letter_pdf enable row level security;
alter table letter_pdf force row level security;
create policy app_reads on letter_pdf for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy nurse_adds on letter_pdf for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
grant insert, select on letter_pdf to innerglove_app;
CREATE TRIGGER letter_pdf_stays BEFORE DELETE OR UPDATE ON public.letter_pdf FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER letter_pdf_stays_whole BEFORE TRUNCATE ON public.letter_pdf FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table local_confirmation (
  site_id uuid not null,
  subject text not null,
  version text not null,
  hash text not null,
  confirmed_by uuid not null,
  confirmed_by_name text not null,
  confirmed_at timestamp with time zone not null,
  constraint local_confirmation_pkey PRIMARY KEY (site_id, subject, version, hash),
  constraint local_confirmation_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table local_confirmation enable row level security;
alter table local_confirmation force row level security;
create policy app_reads on local_confirmation for select to innerglove_app, innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
create policy nurse_confirms on local_confirmation for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text) AND (confirmed_by = ( SELECT context_account() AS context_account))));
grant insert, select on local_confirmation to innerglove_app;
grant select on local_confirmation to innerglove_worker;

create table outbox (
  site_id uuid not null,
  message_id uuid not null,
  alert_id uuid,
  recipient text not null,
  subject text not null,
  text text not null,
  attempts integer not null default 0,
  created_at timestamp with time zone not null default now(),
  next_attempt_at timestamp with time zone not null default now(),
  lease uuid,
  leased_until timestamp with time zone,
  sent_at timestamp with time zone,
  failure text,
  constraint outbox_alert_fkey FOREIGN KEY (site_id, alert_id) REFERENCES alert(site_id, alert_id),
  constraint outbox_pkey PRIMARY KEY (site_id, message_id),
  constraint outbox_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
CREATE INDEX outbox_waiting_idx ON public.outbox USING btree (next_attempt_at) WHERE (sent_at IS NULL);
alter table outbox enable row level security;
alter table outbox force row level security;
create policy app_adds on outbox for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
create policy sender_sends on outbox for all to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'send'::text));
create policy worker_adds on outbox for insert to innerglove_worker
  with check ((site_id = ( SELECT context_site() AS context_site)));
grant insert (site_id, message_id, alert_id, recipient, subject, text, attempts) on outbox to innerglove_app;
grant insert (site_id, message_id, alert_id, recipient, subject, text, attempts) on outbox to innerglove_worker;

create table person (
  site_id uuid not null,
  person_id uuid not null,
  unit_id uuid not null,
  pseudonym text not null,
  roster_ref uuid not null,
  job text not null,
  time_zone text not null,
  constraint person_pkey PRIMARY KEY (site_id, person_id),
  constraint person_pseudonym_key UNIQUE (site_id, pseudonym),
  constraint person_roster_ref_key UNIQUE (site_id, roster_ref),
  constraint person_unit_fkey FOREIGN KEY (site_id, unit_id) REFERENCES unit(site_id, unit_id),
  constraint person_unit_key UNIQUE (site_id, person_id, unit_id)
);
alter table person enable row level security;
alter table person force row level security;
create policy administrator_adds on person for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on person for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text, 'administrator'::text])) OR (person_id = ( SELECT context_person() AS context_person)))));
create policy finder_finds on person for select to innerglove_owner
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = 'find-person'::text)));
create policy worker_reads on person for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on person to innerglove_app;
grant select on person to innerglove_worker;

create table person_identity (
  site_id uuid not null,
  person_id uuid not null,
  staff_number_hash bytea not null,
  sealed bytea not null,
  constraint person_identity_person_fkey FOREIGN KEY (site_id, person_id) REFERENCES person(site_id, person_id),
  constraint person_identity_pkey PRIMARY KEY (site_id, person_id),
  constraint person_identity_staff_number_key UNIQUE (site_id, staff_number_hash)
);
alter table person_identity enable row level security;
alter table person_identity force row level security;
create policy administrator_adds on person_identity for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on person_identity for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy finder_finds on person_identity for select to innerglove_owner
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = 'find-person'::text)));
grant insert, select on person_identity to innerglove_app;

create table person_key (
  site_id uuid not null,
  person_id uuid not null,
  wrapped bytea not null,
  constraint person_key_person_fkey FOREIGN KEY (site_id, person_id) REFERENCES person(site_id, person_id),
  constraint person_key_pkey PRIMARY KEY (site_id, person_id)
);
alter table person_key enable row level security;
alter table person_key force row level security;
create policy administrator_adds on person_key for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on person_key for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy finder_finds on person_key for select to innerglove_owner
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = 'find-person'::text)));
create policy manager_reads on person_key for select to innerglove_manager
  using (((site_id = ( SELECT context_site() AS context_site)) AND (EXISTS ( SELECT
   FROM person_name name
  WHERE ((name.site_id = person_key.site_id) AND (name.person_id = person_key.person_id))))));
grant insert, select on person_key to innerglove_app;
grant select on person_key to innerglove_manager;

create table person_name (
  site_id uuid not null,
  person_id uuid not null,
  unit_id uuid not null,
  sealed bytea not null,
  constraint person_name_person_fkey FOREIGN KEY (site_id, person_id, unit_id) REFERENCES person(site_id, person_id, unit_id) ON UPDATE CASCADE,
  constraint person_name_pkey PRIMARY KEY (site_id, person_id)
);
CREATE INDEX person_name_unit_idx ON public.person_name USING btree (site_id, unit_id);
alter table person_name enable row level security;
alter table person_name force row level security;
create policy administrator_adds on person_name for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on person_name for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy manager_reads on person_name for select to innerglove_manager
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'manager'::text) AND (unit_id = ANY (( SELECT context_units() AS context_units)::uuid[]))));
grant insert, select on person_name to innerglove_app;
grant select on person_name to innerglove_manager;

create table plan (
  site_id uuid not null,
  plan_id uuid not null,
  person_id uuid not null,
  incident_id uuid not null,
  revision integer not null,
  basis text not null,
  determination_id uuid,
  state text not null,
  released_at timestamp with time zone,
  day_zero date not null,
  last_day date not null,
  content jsonb not null,
  evidence jsonb not null,
  constraint plan_basis_known CHECK ((basis = ANY (ARRAY['interim'::text, 'determination'::text]))),
  constraint plan_determination_fkey FOREIGN KEY (site_id, determination_id) REFERENCES determination(site_id, determination_id),
  constraint plan_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint plan_incident_key UNIQUE (site_id, incident_id),
  constraint plan_person_key UNIQUE (site_id, plan_id, person_id),
  constraint plan_pkey PRIMARY KEY (site_id, plan_id),
  constraint plan_state_known CHECK ((state = ANY (ARRAY['running'::text, 'released'::text])))
);
CREATE INDEX plan_person_idx ON public.plan USING btree (site_id, person_id);
CREATE INDEX plan_running_idx ON public.plan USING btree (site_id, plan_id) WHERE (state = 'running'::text);
alter table plan enable row level security;
alter table plan force row level security;
create policy app_changes on plan for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))))
  with check (((site_id = ( SELECT context_site() AS context_site)) AND ((state <> 'released'::text) OR ((( SELECT context_role() AS context_role) = 'nurse'::text) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))))));
create policy app_reads on plan for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND ((person_id = ( SELECT context_person() AS context_person)) OR (EXISTS ( SELECT
   FROM incident parent
  WHERE ((parent.site_id = plan.site_id) AND (parent.incident_id = plan.incident_id) AND (parent.revision = 1)))))))));
create policy reporter_adds on plan for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text])) AND (state = 'running'::text)));
create policy worker_reads on plan for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on plan to innerglove_app;
grant select on plan to innerglove_worker;
grant update (revision, basis, determination_id, state, released_at, day_zero, last_day, content, evidence) on plan to innerglove_app;

create table plan_check (
  site_id uuid not null,
  plan_id uuid not null,
  check_key text not null,
  person_id uuid not null,
  kind text not null,
  local_date date not null,
  slot text,
  ordinal smallint not null,
  due_from timestamp with time zone not null,
  due_from_offset smallint not null,
  due_until timestamp with time zone not null,
  due_until_offset smallint not null,
  evidence smallint not null,
  position smallint not null,
  look_at timestamp with time zone not null,
  alerted_at timestamp with time zone,
  state text not null,
  done_at timestamp with time zone,
  reading_id uuid,
  constraint plan_check_pkey PRIMARY KEY (site_id, plan_id, check_key),
  constraint plan_check_plan_fkey FOREIGN KEY (site_id, plan_id, person_id) REFERENCES plan(site_id, plan_id, person_id),
  constraint plan_check_state_known CHECK ((state = ANY (ARRAY['due'::text, 'done'::text, 'withdrawn'::text])))
);
CREATE INDEX plan_check_due_idx ON public.plan_check USING btree (look_at) WHERE ((state = 'due'::text) AND (alerted_at IS NULL));
alter table plan_check enable row level security;
alter table plan_check force row level security;
create policy app_changes on plan_check for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy app_reads on plan_check for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND ((person_id = ( SELECT context_person() AS context_person)) OR (EXISTS ( SELECT
   FROM plan parent
  WHERE ((parent.site_id = plan_check.site_id) AND (parent.plan_id = plan_check.plan_id)))))))));
create policy grace_changes on plan_check for update to innerglove_owner
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = 'change-grace'::text)));
create policy reporter_adds on plan_check for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
create policy sweep_reads on plan_check for select to innerglove_owner
  using (((( SELECT context_purpose() AS context_purpose) = 'sweep'::text) OR ((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_purpose() AS context_purpose) = 'change-grace'::text))));
create policy worker_marks on plan_check for update to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
create policy worker_reads on plan_check for select to innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on plan_check to innerglove_app;
grant select on plan_check to innerglove_worker;
grant update (kind, local_date, slot, ordinal, due_from, due_from_offset, due_until, due_until_offset, evidence, position, look_at, alerted_at, state, done_at, reading_id) on plan_check to innerglove_app;
grant update (alerted_at) on plan_check to innerglove_worker;

create table plan_release (
  site_id uuid not null,
  plan_id uuid not null,
  released_at timestamp with time zone not null,
  person_id uuid not null,
  released_by uuid not null,
  second_clinician uuid,
  sealed bytea,
  constraint plan_release_early_has_both CHECK (((second_clinician IS NULL) = (sealed IS NULL))),
  constraint plan_release_pkey PRIMARY KEY (site_id, plan_id, released_at),
  constraint plan_release_plan_fkey FOREIGN KEY (site_id, plan_id, person_id) REFERENCES plan(site_id, plan_id, person_id),
  constraint plan_release_second_fkey FOREIGN KEY (site_id, second_clinician) REFERENCES account(site_id, account_id),
  constraint plan_release_signer_fkey FOREIGN KEY (site_id, released_by) REFERENCES account(site_id, account_id),
  constraint plan_release_two_people CHECK ((second_clinician <> released_by))
);
alter table plan_release enable row level security;
alter table plan_release force row level security;
create policy nurse_reads on plan_release for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text)));
create policy nurse_signs on plan_release for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text) AND (released_by = ( SELECT context_account() AS context_account)) AND (person_id IS DISTINCT FROM ( SELECT context_person() AS context_person))));
grant insert, select on plan_release to innerglove_app;
CREATE TRIGGER plan_release_stays BEFORE DELETE OR UPDATE ON public.plan_release FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER plan_release_stays_whole BEFORE TRUNCATE ON public.plan_release FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table ppe_use (
  site_id uuid not null,
  unit_id uuid not null,
  local_date date not null,
  ensemble_id text not null,
  uses integer not null,
  constraint ppe_use_counted CHECK ((uses >= 0)),
  constraint ppe_use_pkey PRIMARY KEY (site_id, unit_id, local_date, ensemble_id),
  constraint ppe_use_unit_fkey FOREIGN KEY (site_id, unit_id) REFERENCES unit(site_id, unit_id)
);
CREATE INDEX ppe_use_date_idx ON public.ppe_use USING btree (site_id, local_date);
alter table ppe_use enable row level security;
alter table ppe_use force row level security;
create policy app_corrects on ppe_use for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text, 'administrator'::text]))));
create policy app_counts on ppe_use for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text, 'administrator'::text]))));
create policy app_reads on ppe_use for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text, 'administrator'::text]))));
grant insert, select on ppe_use to innerglove_app;
grant update (uses) on ppe_use to innerglove_app;

create table reading (
  site_id uuid not null,
  reading_id uuid not null,
  plan_id uuid not null,
  person_id uuid not null,
  check_key text,
  taken_at timestamp with time zone not null,
  value text,
  unit text not null,
  measurement_site text not null,
  antipyretic_taken text not null,
  felt_fever text not null,
  symptoms text[] not null,
  entered_by uuid,
  entered_at timestamp with time zone not null,
  confirmed_implausible boolean not null,
  judgement jsonb not null,
  constraint reading_pkey PRIMARY KEY (site_id, reading_id),
  constraint reading_plan_fkey FOREIGN KEY (site_id, plan_id, person_id) REFERENCES plan(site_id, plan_id, person_id)
);
CREATE INDEX reading_plan_idx ON public.reading USING btree (site_id, plan_id, taken_at);
alter table reading enable row level security;
alter table reading force row level security;
create policy app_adds on reading for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy app_reads on reading for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
grant insert, select on reading to innerglove_app;
CREATE TRIGGER reading_stays BEFORE DELETE OR UPDATE ON public.reading FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER reading_stays_whole BEFORE TRUNCATE ON public.reading FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table report_receipt (
  site_id uuid not null,
  report_id uuid not null,
  incident_id uuid not null,
  received_at timestamp with time zone not null,
  constraint report_receipt_pkey PRIMARY KEY (site_id, report_id)
);
alter table report_receipt enable row level security;
alter table report_receipt force row level security;
create policy reporter_adds on report_receipt for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
create policy reporter_reads on report_receipt for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
grant insert, select on report_receipt to innerglove_app;
CREATE TRIGGER report_receipt_stays BEFORE DELETE OR UPDATE ON public.report_receipt FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER report_receipt_stays_whole BEFORE TRUNCATE ON public.report_receipt FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table session (
  site_id uuid not null,
  session_id uuid not null,
  account_id uuid not null,
  token_hash bytea not null,
  opened_at timestamp with time zone not null default now(),
  seen_at timestamp with time zone not null default now(),
  idle_limit interval not null,
  expires_at timestamp with time zone not null,
  ended_at timestamp with time zone,
  constraint session_account_fkey FOREIGN KEY (site_id, account_id) REFERENCES account(site_id, account_id),
  constraint session_pkey PRIMARY KEY (site_id, session_id)
);
CREATE INDEX session_expiry_idx ON public.session USING btree (expires_at);
CREATE INDEX session_token_idx ON public.session USING btree (token_hash);
alter table session enable row level security;
alter table session force row level security;
create policy sign_in_keeps on session for all to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'sign-in'::text));

create table site (
  site_id uuid not null,
  slug text not null,
  name text not null,
  time_zone text not null,
  settings jsonb not null,
  created_at timestamp with time zone not null default now(),
  constraint site_pkey PRIMARY KEY (site_id),
  constraint site_slug_key UNIQUE (slug)
);
alter table site enable row level security;
alter table site force row level security;
create policy administrator_adds on site for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy administrator_changes on site for update to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on site for select to innerglove_app, innerglove_manager, innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
create policy directory_lists on site for select to innerglove_owner
  using ((( SELECT context_purpose() AS context_purpose) = 'site-directory'::text));
grant insert, select on site to innerglove_app;
grant select on site to innerglove_manager;
grant select on site to innerglove_worker;
grant update (settings) on site to innerglove_app;

create table site_key (
  site_id uuid not null,
  wrapped bytea not null,
  constraint site_key_pkey PRIMARY KEY (site_id),
  constraint site_key_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table site_key enable row level security;
alter table site_key force row level security;
create policy administrator_adds on site_key for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on site_key for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text, 'administrator'::text]))));
grant insert, select on site_key to innerglove_app;

create table source (
  site_id uuid not null,
  source_id uuid not null,
  pseudonym text not null,
  constraint source_pkey PRIMARY KEY (site_id, source_id),
  constraint source_pseudonym_key UNIQUE (site_id, pseudonym),
  constraint source_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table source enable row level security;
alter table source force row level security;
create policy app_reads on source for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text, 'infection-control'::text]))));
create policy reporter_adds on source for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
grant insert, select on source to innerglove_app;

create table source_status (
  site_id uuid not null,
  source_id uuid not null,
  ordinal integer not null,
  status text not null,
  agent text not null,
  on_date date not null,
  sampled_on date,
  by_account uuid not null,
  stated_at timestamp with time zone not null,
  constraint source_status_known CHECK ((status = ANY (ARRAY['suspected'::text, 'confirmed'::text, 'ruled-out'::text]))),
  constraint source_status_pkey PRIMARY KEY (site_id, source_id, ordinal),
  constraint source_status_source_fkey FOREIGN KEY (site_id, source_id) REFERENCES source(site_id, source_id)
);
alter table source_status enable row level security;
alter table source_status force row level security;
create policy app_reads on source_status for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text, 'infection-control'::text]))));
create policy nurse_states on source_status for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'nurse'::text) AND (by_account = ( SELECT context_account() AS context_account))));
grant insert, select on source_status to innerglove_app;
CREATE TRIGGER source_status_stays BEFORE DELETE OR UPDATE ON public.source_status FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER source_status_stays_whole BEFORE TRUNCATE ON public.source_status FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table telling (
  site_id uuid not null,
  incident_id uuid not null,
  revision integer not null,
  person_id uuid not null,
  kind text not null,
  content jsonb not null,
  by_account uuid,
  told_at timestamp with time zone not null,
  constraint telling_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint telling_kind_known CHECK ((kind = ANY (ARRAY['report'::text, 'amendment'::text]))),
  constraint telling_pkey PRIMARY KEY (site_id, incident_id, revision)
);
alter table telling enable row level security;
alter table telling force row level security;
create policy app_reads on telling for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = ANY (ARRAY['nurse'::text, 'infection-control'::text])) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy reporter_adds on telling for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text])) AND (by_account = ( SELECT context_account() AS context_account))));
grant insert, select on telling to innerglove_app;
CREATE TRIGGER telling_stays BEFORE DELETE OR UPDATE ON public.telling FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER telling_stays_whole BEFORE TRUNCATE ON public.telling FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table telling_text (
  site_id uuid not null,
  incident_id uuid not null,
  revision integer not null,
  person_id uuid not null,
  sealed bytea not null,
  constraint telling_text_incident_fkey FOREIGN KEY (site_id, incident_id, person_id) REFERENCES incident(site_id, incident_id, person_id),
  constraint telling_text_pkey PRIMARY KEY (site_id, incident_id, revision),
  constraint telling_text_telling_fkey FOREIGN KEY (site_id, incident_id, revision) REFERENCES telling(site_id, incident_id, revision)
);
alter table telling_text enable row level security;
alter table telling_text force row level security;
create policy app_reads on telling_text for select to innerglove_app
  using (((site_id = ( SELECT context_site() AS context_site)) AND ((( SELECT context_role() AS context_role) = 'nurse'::text) OR ((( SELECT context_role() AS context_role) = 'wearer'::text) AND (person_id = ( SELECT context_person() AS context_person))))));
create policy reporter_adds on telling_text for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = ANY (ARRAY['wearer'::text, 'nurse'::text]))));
grant insert, select on telling_text to innerglove_app;
CREATE TRIGGER telling_text_stays BEFORE DELETE OR UPDATE ON public.telling_text FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER telling_text_stays_whole BEFORE TRUNCATE ON public.telling_text FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

create table unit (
  site_id uuid not null,
  unit_id uuid not null,
  name text not null,
  ensemble_id text not null,
  ensemble_version text not null,
  constraint unit_name_key UNIQUE (site_id, name),
  constraint unit_pkey PRIMARY KEY (site_id, unit_id),
  constraint unit_site_fkey FOREIGN KEY (site_id) REFERENCES site(site_id)
);
alter table unit enable row level security;
alter table unit force row level security;
create policy administrator_adds on unit for insert to innerglove_app
  with check (((site_id = ( SELECT context_site() AS context_site)) AND (( SELECT context_role() AS context_role) = 'administrator'::text)));
create policy app_reads on unit for select to innerglove_app, innerglove_manager, innerglove_worker
  using ((site_id = ( SELECT context_site() AS context_site)));
grant insert, select on unit to innerglove_app;
grant select on unit to innerglove_manager;
grant select on unit to innerglove_worker;

-- schema pgboss at version 46, queues send-notices, sweep-due
grant delete, insert, select, update on pgboss.bam to innerglove_worker;
grant delete, insert, select, update on pgboss.instance to innerglove_worker;
grant insert on pgboss.job to innerglove_app;
grant delete, insert, select, update on pgboss.job to innerglove_worker;
grant insert on pgboss.job_common to innerglove_app;
grant delete, insert, select, update on pgboss.job_common to innerglove_worker;
grant delete, insert, select, update on pgboss.job_dependency to innerglove_worker;
grant select on pgboss.queue to innerglove_app;
grant delete, insert, select, update on pgboss.queue to innerglove_worker;
grant delete, insert, select, update on pgboss.queue_stats to innerglove_worker;
grant delete, insert, select, update on pgboss.schedule to innerglove_worker;
grant delete, insert, select, update on pgboss.subscription to innerglove_worker;
grant select on pgboss.version to innerglove_app;
grant delete, insert, select, update on pgboss.version to innerglove_worker;
grant delete, insert, select, update on pgboss.warning to innerglove_worker;
grant select (id) on pgboss.job to innerglove_app;
grant select (id) on pgboss.job_common to innerglove_app;
