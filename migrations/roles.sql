-- The four roles, cluster-wide: made when missing, never changed, never dropped by a migration, since other databases
-- of the same cluster may use them. None can log in by itself here: whoever runs the cluster gives `innerglove_app` and
-- `innerglove_worker` a password, or makes login roles that are members of them.
-- The owner inherits, since owning a database is itself a membership. `innerglove_app` inherits nothing: it becomes `innerglove_manager` only where a transaction says SET LOCAL ROLE, so
-- that what a manager may read is not added to what anybody else may.
-- A statement here ends at a semicolon and an empty line, and has no empty line inside: single-user mode reads it so.
do $$
declare
  wanted text;
begin
  foreach wanted in array array['innerglove_owner', 'innerglove_app', 'innerglove_worker', 'innerglove_manager'] loop
    begin
      if not exists (select from pg_catalog.pg_roles where rolname = wanted) then
        execute format(
          'create role %I nologin %s nosuperuser nocreatedb nocreaterole noreplication nobypassrls',
          wanted, case wanted when 'innerglove_owner' then 'inherit' else 'noinherit' end);
      end if;
    exception when duplicate_object or unique_violation then
      null; -- another migration of the same cluster was faster
    end;
  end loop;
  if not pg_has_role('innerglove_app', 'innerglove_manager', 'member') then
    grant innerglove_manager to innerglove_app;
  end if;
end
$$;

