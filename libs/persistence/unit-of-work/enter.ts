import type { QueryRunner } from 'typeorm';
import type { Instant } from '#domain';
import type { Actor } from '#application';

const CONTEXT = `
  select set_config('innerglove.site_id', $1, true), set_config('innerglove.role', $2, true),
    set_config('innerglove.account_id', $3, true), set_config('innerglove.person_id', $4, true),
    set_config('innerglove.unit_ids', $5, true),
    to_char(now() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as now`;

// Becoming the manager's role is part of the context: until the end of the transaction its grants are all there is.
const STATEMENTS = {
  itself: { name: 'innerglove-context', text: CONTEXT },
  manager: {
    name: 'innerglove-context-manager',
    text: `${CONTEXT}, set_config('role', 'innerglove_manager', true)`,
  },
};

/** Sets who acts, until the end of the transaction, and returns the transaction's time. */
export async function enter(runner: QueryRunner, actor: Actor): Promise<Instant> {
  const client = (await runner.connect()) as {
    query(query: { name: string; text: string; values: string[] }): Promise<{ rows: { now: string }[] }>;
  };
  const { rows } = await client.query({
    ...(actor.role === 'manager' ? STATEMENTS.manager : STATEMENTS.itself),
    values: [
      actor.siteId,
      actor.role,
      actor.accountId ?? '',
      actor.personId ?? '',
      actor.unitIds.length > 0 ? `{${actor.unitIds.join(',')}}` : '',
    ],
  });
  const now = rows[0]?.now;
  if (now === undefined) throw new Error('The context of a transaction gives its time.');
  return now;
}
