import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * What must happen before a site is known, across sites, or on a row that the caller may not see. Each function runs as
 * the owner with a pinned search path, and the owner sees only the rows that a policy opens to it for the purpose that
 * the function names while it runs.
 */
export class Functions1764064800003 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(SIGN_IN);
    await runner.query(PEOPLE);
    await runner.query(DUTY);
    await runner.query(WORKER);
  }

  async down(runner: QueryRunner): Promise<void> {
    await runner.query(`
      drop function forget_expired(integer), settle_message(uuid, uuid, uuid, text), lease_messages(integer, interval),
        due_checks(integer), change_reading_grace(integer), duty_status_counts(),
        tighten_duty_status(uuid, uuid, uuid, text, date), strictness(text), find_person(bytea), list_sites(),
        end_session(bytea), find_session(bytea), open_session(uuid, uuid, bytea, interval, interval),
        find_account(text);
    `);
  }
}

const SIGN_IN = `
  create function find_account(wanted_login text)
  returns table (site_id uuid, account_id uuid, person_id uuid, role text, login text, unit_ids uuid[],
    password_hash text)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    return query
      select a.site_id, a.account_id, a.person_id, a.role, a.login, a.unit_ids, a.password_hash
      from account_login l join account a on a.site_id = l.site_id and a.account_id = l.account_id
      where l.login = wanted_login and a.disabled_at is null and a.password_hash is not null;
    perform set_config('innerglove.purpose', '', true);
  end
  $$;

  create function open_session(of_site uuid, of_account uuid, with_token_hash bytea, idle interval, lifetime interval)
  returns uuid
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
  declare
    opened uuid := gen_random_uuid();
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    insert into session (site_id, session_id, account_id, token_hash, idle_limit, expires_at)
    values (of_site, opened, of_account, with_token_hash, idle, now() + lifetime);
    perform set_config('innerglove.purpose', '', true);
    return opened;
  end
  $$;

  -- Moves the idle clock, but writes at most once a minute: a read must not cost a commit.
  create function find_session(of_token_hash bytea)
  returns table (session_id uuid, site_id uuid, account_id uuid, person_id uuid, role text, login text, unit_ids uuid[])
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  create function end_session(of_token_hash bytea) returns void
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
  begin
    perform set_config('innerglove.purpose', 'sign-in', true);
    update session set ended_at = now() where token_hash = of_token_hash and ended_at is null;
    perform set_config('innerglove.purpose', '', true);
  end
  $$;

  create function list_sites() returns table (site_id uuid, slug text, name text)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
  begin
    perform set_config('innerglove.purpose', 'site-directory', true);
    return query select s.site_id, s.slug, s.name from site s order by s.slug;
    perform set_config('innerglove.purpose', '', true);
  end
  $$;

  revoke all on function find_account(text), open_session(uuid, uuid, bytea, interval, interval), find_session(bytea),
    end_session(bytea), list_sites() from public;
  grant execute on function find_account(text), open_session(uuid, uuid, bytea, interval, interval),
    find_session(bytea), end_session(bytea), list_sites() to innerglove_app;
`;

const PEOPLE = `
  -- A buddy reports for a wearer whose staff number was said aloud: one exact match, never a list, and nothing of the
  -- identity. The wrapped key comes with it, since what the buddy types is sealed for the wearer.
  create function find_person(of_staff_number_hash bytea)
  returns table (person_id uuid, unit_id uuid, pseudonym text, roster_ref uuid, job text, time_zone text, wrapped bytea)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;
  revoke all on function find_person(bytea) from public;
  grant execute on function find_person(bytea) to innerglove_app;
`;

const DUTY = `
  create function strictness(work text) returns integer language sql immutable parallel safe
    return array_position(array['all', 'no-patient-contact', 'not-on-site', 'remote-only',
      'not-rostered-until-decided'], work);

  -- A report holds somebody from the roster, also when the reporter may not see that person's status. It never eases one.
  create function tighten_duty_status(of_person uuid, with_roster_ref uuid, of_unit uuid, to_work text, review date)
  returns void
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  create function duty_status_counts() returns table (work text, people integer)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  -- An administrator changes the grace without seeing whose readings it moves.
  create function change_reading_grace(minutes integer) returns void
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
  begin
    if context_role() is distinct from 'administrator' then
      raise exception 'only an administrator changes the settings' using errcode = 'insufficient_privilege';
    end if;
    perform set_config('innerglove.purpose', 'change-grace', true);
    update plan_check set look_at = due_until + make_interval(mins => minutes)
    where site_id = context_site() and kind = 'reading' and state = 'due' and alerted_at is null;
    perform set_config('innerglove.purpose', '', true);
  end
  $$;

  revoke all on function tighten_duty_status(uuid, uuid, uuid, text, date), duty_status_counts(),
    change_reading_grace(integer) from public;
  grant execute on function tighten_duty_status(uuid, uuid, uuid, text, date), duty_status_counts(),
    change_reading_grace(integer) to innerglove_app;
`;

const WORKER = `
  -- The due index: across sites, and nothing but ids and times.
  create function due_checks(at_most integer)
  returns table (site_id uuid, plan_id uuid, check_key text, kind text, due_until timestamptz)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  create function lease_messages(at_most integer, lease_for interval)
  returns table (site_id uuid, message_id uuid, alert_id uuid, recipient text, subject text, text text,
    attempts integer, lease uuid)
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  -- False when the lease has gone to another sender: the late mark is refused. After a failure the next attempt waits
  -- twice as long as the one before, up to an hour.
  create function settle_message(of_site uuid, of_message uuid, of_lease uuid, with_failure text) returns boolean
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  -- Replays older than 30 days and sessions that ended a week ago.
  create function forget_expired(at_most integer) returns integer
  language plpgsql security definer set search_path = pg_catalog, public, pg_temp as $$
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
  $$;

  revoke all on function due_checks(integer), lease_messages(integer, interval),
    settle_message(uuid, uuid, uuid, text), forget_expired(integer) from public;
  grant execute on function due_checks(integer), lease_messages(integer, interval),
    settle_message(uuid, uuid, uuid, text), forget_expired(integer) to innerglove_worker;
`;
