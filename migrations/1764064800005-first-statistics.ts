import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * What the planner is to believe of tables that nobody has analysed yet: that a site's id says nothing and any other
 * column little, so that only a key is selective. Every index begins with the site; without a word about it, an empty
 * table's indexes look equally good, the plans of foreign-key checks are made then and kept, and a new installation reads
 * a whole site for each check until autovacuum has been round (measured: the 1,800th report cost four times the first).
 * The first ANALYZE of a table puts real figures in their place. PostgreSQL before 18 takes no statistics from outside.
 */
export class FirstStatistics1764064800005 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(`
      do $$
      declare
        found record;
      begin
        if current_setting('server_version_num')::integer < 180000 then
          return;
        end if;
        for found in
          select c.relname, a.attname
          from pg_class c join pg_attribute a on a.attrelid = c.oid
          where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname <> 'schema_migration'
            and a.attnum > 0 and not a.attisdropped
        loop
          perform pg_restore_attribute_stats('schemaname', 'public', 'relname', found.relname::text,
            'attname', found.attname::text, 'inherited', false, 'null_frac', 0::real, 'avg_width', 16,
            'n_distinct', case found.attname when 'site_id' then 1::real else 2::real end);
        end loop;
      end
      $$;
    `);
  }

  /** Statistics are no part of the schema: there is nothing to take back. */
  down(): Promise<void> {
    return Promise.resolve();
  }
}
