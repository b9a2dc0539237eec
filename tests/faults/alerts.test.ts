import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { randomInt, randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import type pg from 'pg';
import { anExposure } from '../api/support/reports.js';
import { startMailSink, type MailSink } from './support/mail-sink.js';
import { startServiceUnderFault, until, type ServiceUnderFault, type Victim } from './support/service-under-fault.js';
import { enterWearers } from './support/wearers.js';

const PATIENCE_MS = 240_000;
/** The database goes down under the worker too. */
const KILLS: readonly Victim[] = ['worker', 'worker', 'database', 'worker', 'worker', 'database', 'worker', 'worker'];
/** Readings that are missed before each kill. */
const MISSED = 12;

interface RaisedAlert {
  readonly alert_key: string;
  readonly alerts: number;
  readonly ledger_entries: number;
  readonly messages: readonly string[];
}

const MISSED_READINGS = `
  select a.alert_key, count(distinct a.alert_id)::integer as alerts,
    (select count(*)::integer from ledger_entry l
     where l.action = 'alert.raised' and l.subject_id = any (array_agg(a.alert_id::text))) as ledger_entries,
    array_agg(o.message_id::text) as messages
  from alert a left join outbox o on o.site_id = a.site_id and o.alert_id = a.alert_id
  where a.kind = 'missed-reading'
  group by a.alert_key`;

describe('a worker that is killed between two looks at what is due', () => {
  let sink: MailSink;
  let service: ServiceUnderFault;
  let raised: readonly RaisedAlert[];
  let outbox: ReadonlySet<string>;
  const due = new Set<string>();

  const withDatabase = async <T>(work: (database: pg.Client) => Promise<T>): Promise<T> => {
    const database = await service.connect();
    try {
      return await work(database);
    } finally {
      await database.end();
    }
  };

  beforeAll(async () => {
    sink = await startMailSink();
    service = await startServiceUnderFault({
      environment: { SMTP_URL: sink.url, MAIL_FROM: 'innerglove@larkhill.example' },
    });
    const cookies = await enterWearers(service, KILLS.length);
    const planIds = await Promise.all(
      cookies.map(async (cookie) => {
        const response = await fetch(`${service.address}/api/v1/incidents`, {
          method: 'POST',
          headers: { 'content-type': 'application/json', 'idempotency-key': randomUUID(), cookie },
          body: JSON.stringify(anExposure()),
        });
        return ((await response.json()) as { plan: { planId: string } }).plan.planId;
      }),
    );

    for (const [number, victim] of KILLS.entries()) {
      const planId = planIds[number] ?? '';
      await withDatabase(async (database) => {
        // Time cannot be waited for: some readings were due yesterday, and what a dead worker held is free again.
        const { rows } = await database.query<{ check_key: string }>(
          `update plan_check set due_until = now() - interval '1 day', look_at = now() - interval '1 day'
           where plan_id = $1 and check_key in (
             select check_key from plan_check where plan_id = $1 and kind = 'reading' and state = 'due'
             order by due_until limit $2)
           returning check_key`,
          [planId, MISSED],
        );
        for (const { check_key } of rows) due.add(`${planId}/${check_key}/1`);
        await database.query(
          `update outbox set leased_until = now() where leased_until < now() + interval '55 seconds'`,
        );
      });
      // A worker looks when it starts, so that the moment falls before, into and after the look.
      await sleep(randomInt(600));
      const before = service.processOf(victim);
      await service.kill(victim);
      await until(`the ${victim} runs again`, () => service.processOf(victim) !== before);
    }
    await until('every message is sent', () =>
      withDatabase(async (database) => {
        await database.query(
          `update outbox set leased_until = now() where leased_until < now() + interval '55 seconds'`,
        );
        const { rows } = await database.query<{ open: number }>(
          `select (select count(*) from plan_check where state = 'due' and alerted_at is null and look_at <= now())
             + (select count(*) from outbox where sent_at is null) as open`,
        );
        await sleep(200);
        return Number(rows[0]?.open) === 0;
      }),
    );
    await withDatabase(async (database) => {
      raised = (await database.query<RaisedAlert>(MISSED_READINGS)).rows;
      const { rows } = await database.query<{ message_id: string }>('select message_id::text from outbox');
      outbox = new Set(rows.map(({ message_id }) => message_id));
    });
    process.stdout.write(
      `${KILLS.length} kills; ${due.size} readings missed, ${raised.length} alerts, ${outbox.size} messages, ` +
        `${sink.messageIds.length} mails of ${new Set(sink.messageIds).size} identities\n`,
    );
  }, PATIENCE_MS);

  afterAll(async () => {
    await service?.stop();
    await sink?.stop();
  });

  it('raises every alert, each once, with one line in the ledger and one message', () => {
    expect(due.size).toBe(KILLS.length * MISSED);
    expect(new Set(raised.map(({ alert_key }) => alert_key))).toEqual(due);
    for (const { alerts, ledger_entries, messages } of raised) {
      expect([alerts, ledger_entries, messages.length]).toEqual([1, 1, 1]);
    }
  });

  it('mails every message, and one that comes again is known by its identity', () => {
    const identities = sink.messageIds.map((messageId) => messageId.replace('@larkhill.example', ''));

    expect(new Set(identities)).toEqual(outbox);
    // Between the mail server's acceptance and our mark lies one message at most.
    expect(identities.length - outbox.size).toBeLessThanOrEqual(KILLS.length);
  });
});
