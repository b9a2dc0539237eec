import { getConstructionPlans } from 'pg-boss';
import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * The job tables of pg-boss in their own schema, made here and never at run time, and the two queues. Domain rows are
 * the truth: a job only wakes the worker, and its payload holds ids at most.
 */
export class Jobs1764064800004 implements MigrationInterface {
  async up(runner: QueryRunner): Promise<void> {
    await runner.query(withoutTransaction(getConstructionPlans('pgboss')));
    await runner.query(QUEUES);
    await runner.query(GRANTS);
  }

  async down(runner: QueryRunner): Promise<void> {
    await runner.query('drop schema pgboss cascade');
  }
}

/** The library's script brings its own BEGIN and COMMIT; inside a migration they would end ours half-way. */
function withoutTransaction(script: string): string {
  const inner = /^\s*BEGIN;([\s\S]*)COMMIT;\s*$/.exec(script)?.[1];
  if (inner === undefined || /\b(BEGIN|COMMIT|ROLLBACK);\s*$/m.test(inner.replaceAll(/\$\$[\s\S]*?\$\$/g, ''))) {
    throw new Error('The job library builds its tables in another way than this migration expects.');
  }
  return inner;
}

// Completed wake-ups are worth nothing after an hour. The policy is the one without a unique key: two reports in the
// same moment must not wait for each other's commit only because both wake the worker.
const QUEUES = `
  select pgboss.create_queue(name, '{"policy": "standard", "retryLimit": 0, "expireInSeconds": 300,
    "retentionSeconds": 86400, "deleteAfterSeconds": 3600}'::jsonb)
  from unnest(array['sweep-due', 'send-notices']) as name;
`;

const GRANTS = `
  grant usage on schema pgboss to innerglove_app, innerglove_worker;
  grant select on pgboss.version, pgboss.queue to innerglove_app;
  grant select (id), insert on pgboss.job, pgboss.job_common to innerglove_app;
  grant select, insert, update, delete on all tables in schema pgboss to innerglove_worker;
  alter table pgboss.job_common set (autovacuum_vacuum_scale_factor = 0.01);
`;
