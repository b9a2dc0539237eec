import Fastify from 'fastify';
import { readFileSync } from 'node:fs';
import pg from 'pg';
import { v7 } from 'uuid';
import type { BareTask } from './bare-task.js';

/*
 * What the service's report is measured against: fastify and pg alone, writing the same rows. It judges nothing; the rows
 * come from a report that the service accepted, with new ids.
 */

const UUID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g;

process.once('message', (task: BareTask) => void serve(task));

async function serve({ url, kind, rows, freshIds, columns, context, answer }: BareTask): Promise<void> {
  const pool = new pg.Pool({ connectionString: url, max: 10 });
  const fresh = new Set(freshIds);
  const template = JSON.stringify(rows);
  const accept = readFileSync(new URL('../../libs/persistence/accept-report.sql', import.meta.url), 'utf8');

  /** The template's rows with an id of their own for this report. */
  const renewed = (reportId: string, key: string): Record<string, unknown[]> => {
    const ids = new Map<string, string>();
    const text = template
      .replaceAll('"@report-id"', JSON.stringify(reportId))
      .replaceAll('"@idempotency-key"', JSON.stringify(key))
      .replace(UUID, (id) => {
        if (!fresh.has(id)) return id;
        const known = ids.get(id) ?? v7();
        ids.set(id, known);
        return known;
      });
    return JSON.parse(text) as Record<string, unknown[]>;
  };

  const enter = (client: pg.PoolClient) =>
    client.query({
      name: 'context',
      text: `select set_config('innerglove.site_id', $1, true), set_config('innerglove.role', 'wearer', true),
        set_config('innerglove.account_id', $2, true), set_config('innerglove.person_id', $3, true)`,
      values: [context.siteId, context.accountId, context.personId],
    });
  const insert = async (client: pg.PoolClient, all: Record<string, unknown[]>, guarded: boolean) => {
    for (const [table, list] of Object.entries(all)) {
      const names = columns[table]?.join(', ') ?? '';
      const rowsOf = `from jsonb_populate_recordset(null::${table}, $1::jsonb) as row`;
      // One status a person; under row security it is set by a function, since the reporter may not see it.
      const text =
        table !== 'duty_status'
          ? `insert into ${table} (${names}) select ${names} ${rowsOf}`
          : guarded
            ? `select tighten_duty_status(person_id, roster_ref, unit_id, work, next_review_date) ${rowsOf}`
            : `insert into ${table} (${names}) select ${names} ${rowsOf}
                on conflict (site_id, person_id) do update set work = excluded.work`;
      await client.query({ name: `insert-${table}`, text, values: [JSON.stringify(list)] });
    }
  };

  const writers = {
    /** An idiomatic handler: a prepared statement for every kind of row. */
    rows: (client: pg.PoolClient, all: Record<string, unknown[]>) => insert(client, all, false),
    guarded: async (client: pg.PoolClient, all: Record<string, unknown[]>) => {
      await enter(client);
      await insert(client, all, true);
    },
    /** Our own statement without our service around it. */
    single: async (client: pg.PoolClient, all: Record<string, unknown[]>) => {
      await enter(client);
      const [plan] = all['plan'] ?? [];
      const document = {
        site_id: context.siteId,
        event: all['event']?.[0],
        receipt: all['report_receipt']?.[0],
        incident: all['incident']?.[0],
        telling: all['telling']?.[0],
        text: all['telling_text'] ?? [],
        breaches: all['incident_breach'] ?? [],
        lapses: all['incident_lapse'] ?? [],
        assessment: all['assessment']?.[0],
        plan: all['plan'] ?? [],
        plan_id: (plan as { plan_id: string } | undefined)?.plan_id,
        person_id: context.personId,
        checks: all['plan_check'] ?? [],
        alerts: all['alert'] ?? [],
        outbox: all['outbox'] ?? [],
        ledger: all['ledger_entry'] ?? [],
        replay: all['idempotency_replay'] ?? [],
        duty: all['duty_status'] ?? [],
      };
      await client.query({ name: 'accept', text: accept, values: [JSON.stringify(document)] });
    },
  };
  const write = writers[kind];

  const server = Fastify();
  server.post('/api/v1/incidents', async (request, reply) => {
    const { reportId } = request.body as { reportId: string };
    const all = renewed(reportId, String(request.headers['idempotency-key']));
    const client = await pool.connect();
    try {
      await client.query('begin');
      await write(client, all);
      await client.query('commit');
    } catch (error) {
      await client.query('rollback');
      process.stderr.write(`${String(error)}\n`);
      throw error;
    } finally {
      client.release();
    }
    return reply.code(201).header('etag', '"1"').send(answer);
  });
  const address = await server.listen({ port: 0, host: '127.0.0.1' });
  process.send?.({ kind: 'ready', port: Number(new URL(address).port) });
  process.once('disconnect', () => process.exit(0));
}
