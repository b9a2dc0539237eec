import pg from 'pg';
import { readRoles } from './roles.js';

export interface PrepareDatabaseOptions {
  /** A superuser's URL of the database that becomes the service's. */
  readonly url: string;
  /** The URLs of `innerglove_app` and `innerglove_worker`, whose passwords the roles get. */
  readonly appUrl: string;
  readonly workerUrl: string;
}

/** A URL that another role, or no password, stands in. */
export class RoleNotNamed extends Error {
  constructor(role: string) {
    super(`The address for ${role} has to name this role and its password: postgres://${role}:<password>@…`);
    this.name = 'RoleNotNamed';
  }
}

/**
 * Makes an empty database ready for the first migration: the roles, a login for those that sign in, and nobody else let
 * in. It can be run again at any time; a password that has changed in the URL is set anew.
 */
export async function prepareDatabase({ url, appUrl, workerUrl }: PrepareDatabaseOptions): Promise<void> {
  const logins = [
    { role: 'innerglove_app', password: passwordOf(appUrl, 'innerglove_app') },
    { role: 'innerglove_worker', password: passwordOf(workerUrl, 'innerglove_worker') },
  ];
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(await readRoles());
    for (const { role, password } of logins) {
      await runFormatted(client, 'alter role %I login password %L', [role, password]);
    }
    const { rows } = await client.query<{ name: string }>('select current_database() as name');
    const name = rows[0]?.name ?? '';
    await runFormatted(client, 'alter database %I owner to innerglove_owner', [name]);
    await runFormatted(client, 'revoke all on database %I from public', [name]);
    await runFormatted(client, 'grant connect on database %I to innerglove_app, innerglove_worker', [name]);
  } finally {
    await client.end();
  }
}

function passwordOf(url: string, role: string): string {
  const { username, password } = new URL(url);
  if (decodeURIComponent(username) !== role || password === '') throw new RoleNotNamed(role);
  return decodeURIComponent(password);
}

/** Statements about roles and databases take no parameters: the server itself quotes what stands in them. */
async function runFormatted(client: pg.Client, format: string, values: readonly string[]): Promise<void> {
  const { rows } = await client.query<{ statement: string }>('select format($1, variadic $2::text[]) as statement', [
    format,
    values,
  ]);
  await client.query(rows[0]?.statement ?? '');
}
