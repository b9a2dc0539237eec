import pg from 'pg';

/**
 * The schema as text, the same for the same schema on every PostgreSQL from 15: tables with columns, keys and indexes,
 * row security, grants, triggers and functions, each in the order of their names. It is what a review reads, and what a
 * test compares after up, down, up.
 */
export async function describeSchema(url: string): Promise<string> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    const lines = async (query: string): Promise<string[]> =>
      (await client.query<{ line: string }>(query)).rows.map(({ line }) => line);
    const sections = [
      '-- The schema after all migrations, written by `npm run db:dump`. Read it in a review; change it by a migration.',
      ...(await lines(ROLES)),
      ...(await lines(SCHEMAS)),
      ...(await lines(FUNCTIONS)),
      ...(await lines(TABLES)),
      ...(await lines(JOBS)),
    ];
    return `${sections.join('\n\n')}\n`;
  } finally {
    await client.end();
  }
}

const ROLES = `
  select format('-- role %s: %s', r.rolname, concat_ws(', ',
      case when r.rolsuper then 'SUPERUSER' else 'no superuser' end,
      case when r.rolbypassrls then 'BYPASSES row security' else 'held by row security' end,
      case when r.rolinherit then 'inherits' else 'inherits nothing' end,
      (select 'may become ' || string_agg(g.rolname, ', ' order by g.rolname)
        from pg_auth_members m join pg_roles g on g.oid = m.roleid
        where m.member = r.oid and g.rolname like 'innerglove%')
    )) as line
  from pg_roles r where r.rolname in ('innerglove_owner', 'innerglove_app', 'innerglove_worker', 'innerglove_manager')
  order by r.rolname
`;

/** Grants as sorted statements; the owner's own are left out, since the owner has them by owning. */
const grants = (acl: string, owner: string, what: string): string => `(
  select string_agg(format(E'\\ngrant %s on %s to %s;', rights, ${what}, grantee), '' order by grantee)
  from (
    select case a.grantee when 0 then 'public' else pg_get_userbyid(a.grantee)::text end as grantee,
      string_agg(lower(a.privilege_type), ', ' order by a.privilege_type) as rights
    from aclexplode(${acl}) a where a.grantee <> ${owner} group by 1
  ) granted)`;

const SCHEMAS = `
  select format('schema %s owned by %s%s', n.nspname,
    pg_get_userbyid(n.nspowner), ${grants('n.nspacl', 'n.nspowner', "'schema ' || n.nspname")}) as line
  from pg_namespace n where n.nspname in ('public', 'pgboss') order by n.nspname
`;

const FUNCTIONS = `
  select rtrim(pg_get_functiondef(p.oid), E'\\n') || ';' || coalesce(${grants(
    "coalesce(p.proacl, acldefault('f', p.proowner))",
    'p.proowner',
    "format('function %s(%s)', p.proname, pg_get_function_identity_arguments(p.oid))",
  )}, '') as line
  from pg_proc p join pg_namespace n on n.oid = p.pronamespace
  where n.nspname = 'public' and p.prokind = 'f'
  order by p.proname, pg_get_function_identity_arguments(p.oid)
`;

const TABLES = `
  select concat(
    format(E'create table %s (\\n  %s\\n);', c.relname, (
      select string_agg(part, E',\\n  ' order by rank, name) from (
        select 1 as rank, lpad(a.attnum::text, 4, '0') as name,
          concat_ws(' ', a.attname, format_type(a.atttypid, a.atttypmod),
            case when a.attidentity = 'a' then 'generated always as identity' end,
            case when a.attnotnull then 'not null' end,
            'default ' || pg_get_expr(d.adbin, d.adrelid)) as part
        from pg_attribute a left join pg_attrdef d on d.adrelid = a.attrelid and d.adnum = a.attnum
        where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
        union all
        select 2, o.conname, format('constraint %s %s', o.conname, pg_get_constraintdef(o.oid))
        from pg_constraint o where o.conrelid = c.oid and o.contype in ('p', 'u', 'f', 'c', 'x')
      ) parts)),
    (select string_agg(E'\\n' || pg_get_indexdef(i.indexrelid) || ';', '' order by ic.relname)
      from pg_index i join pg_class ic on ic.oid = i.indexrelid
      where i.indrelid = c.oid and not exists (select from pg_constraint o where o.conindid = i.indexrelid and o.contype in ('p', 'u'))),
    case when c.relrowsecurity then format(E'\\nalter table %s enable row level security;', c.relname) end,
    case when c.relforcerowsecurity then format(E'\\nalter table %s force row level security;', c.relname) end,
    (select string_agg(format(E'\\ncreate policy %s on %s for %s to %s%s%s;', p.polname, c.relname,
        case p.polcmd when 'r' then 'select' when 'a' then 'insert' when 'w' then 'update' when 'd' then 'delete' else 'all' end,
        (select string_agg(r.rolname, ', ' order by r.rolname) from pg_roles r where r.oid = any (p.polroles)),
        E'\\n  using (' || pg_get_expr(p.polqual, p.polrelid) || ')',
        E'\\n  with check (' || pg_get_expr(p.polwithcheck, p.polrelid) || ')'), '' order by p.polname)
      from pg_policy p where p.polrelid = c.oid),
    ${grants('c.relacl', 'c.relowner', 'c.relname')},
    (select string_agg(format(E'\\ngrant %s (%s) on %s to %s;', right_, columns, c.relname, grantee), '' order by grantee, right_)
      from (
        select pg_get_userbyid(a.grantee)::text as grantee, lower(a.privilege_type) as right_,
          string_agg(t.attname, ', ' order by t.attnum) as columns
        from pg_attribute t, aclexplode(t.attacl) a
        where t.attrelid = c.oid and t.attnum > 0 and not t.attisdropped group by 1, 2
      ) granted),
    (select string_agg(E'\\n' || pg_get_triggerdef(t.oid) || ';', '' order by t.tgname)
      from pg_trigger t where t.tgrelid = c.oid and not t.tgisinternal)
  ) as line
  from pg_class c join pg_namespace n on n.oid = c.relnamespace
  where n.nspname = 'public' and c.relkind = 'r' and c.relname <> 'schema_migration'
  order by c.relname
`;

/** Of the job library's schema its version, its queues and who may touch what; its tables are its own affair. */
const JOBS = `
  select concat('-- schema pgboss at version ', (select version from pgboss.version), ', queues ',
    (select string_agg(name, ', ' order by name) from pgboss.queue),
    (select string_agg(g, '' order by relname) from (
      select c.relname, ${grants('c.relacl', 'c.relowner', "'pgboss.' || c.relname")} as g
      from pg_class c join pg_namespace n on n.oid = c.relnamespace
      -- One partition a day is named by its date.
      where n.nspname = 'pgboss' and c.relkind in ('r', 'p') and c.relname !~ '^queue_stats_\\d'
    ) tables),
    (select string_agg(format(E'\\ngrant %s (%s) on pgboss.%s to %s;', right_, columns, relname, grantee), '' order by relname, grantee, right_)
      from (
        select c.relname, pg_get_userbyid(a.grantee)::text as grantee, lower(a.privilege_type) as right_,
          string_agg(t.attname, ', ' order by t.attnum) as columns
        from pg_class c join pg_namespace n on n.oid = c.relnamespace join pg_attribute t on t.attrelid = c.oid,
          aclexplode(t.attacl) a
        where n.nspname = 'pgboss' and t.attnum > 0 and not t.attisdropped group by 1, 2, 3
      ) granted)
  ) as line
`;
