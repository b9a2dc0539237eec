import pg from 'pg';
import type { Actor } from '#application';

/** A connection on which a test acts with plain SQL, as some actor or as nobody, and whose work is always rolled back. */
export class Acting {
  private constructor(private readonly client: pg.Client) {}

  static async on(url: string): Promise<Acting> {
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    return new Acting(client);
  }

  end(): Promise<void> {
    return this.client.end();
  }

  /** One transaction as the actor; null sets no context at all. */
  async as<T>(actor: Actor | null, work: (client: pg.Client) => Promise<T>): Promise<T> {
    await this.client.query('begin');
    try {
      if (actor !== null) await enterContext(this.client, actor);
      return await work(this.client);
    } finally {
      await this.client.query('rollback');
    }
  }

  /** The error's SQLSTATE, or null when the statement went through; the transaction goes on either way. */
  async refusal(client: pg.Client, text: string, values: unknown[] = []): Promise<string | null> {
    await client.query('savepoint attempt');
    try {
      await client.query(text, values);
      await client.query('release savepoint attempt');
      return null;
    } catch (error) {
      await client.query('rollback to savepoint attempt');
      return (error as pg.DatabaseError).code ?? String(error);
    }
  }
}

/** Sets the context by hand, as the unit of work does. */
export async function enterContext(client: pg.Client, actor: Actor): Promise<void> {
  const settings = {
    site_id: actor.siteId,
    role: actor.role,
    account_id: actor.accountId ?? '',
    person_id: actor.personId ?? '',
    unit_ids: `{${actor.unitIds.join(',')}}`,
  };
  for (const [name, value] of Object.entries(settings)) {
    await client.query('select set_config($1, $2, true)', [`innerglove.${name}`, value]);
  }
  if (actor.role === 'manager') await client.query('set local role innerglove_manager');
}
