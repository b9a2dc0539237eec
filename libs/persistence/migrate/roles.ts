import { readFile } from 'node:fs/promises';

/** Makes the database roles where they are missing; runs in any database of the cluster, again and again. */
export function readRoles(): Promise<string> {
  return readFile(new URL('../../../migrations/roles.sql', import.meta.url), 'utf8');
}

/** The roles with passwords, for a cluster that is ours alone. The passwords are hexadecimal, so nothing needs quoting. */
export async function rolesWithLogin(passwords: {
  readonly owner: string;
  readonly app: string;
  readonly worker: string;
}): Promise<string> {
  const logins = Object.entries({
    innerglove_owner: passwords.owner,
    innerglove_app: passwords.app,
    innerglove_worker: passwords.worker,
  }).map(([role, password]) => `alter role ${role} login password '${password}';\n\n`);
  return `${await readRoles()}${logins.join('')}`;
}
