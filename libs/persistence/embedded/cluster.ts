import { randomBytes } from 'node:crypto';
import { chown, mkdir, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { rolesWithLogin } from '../migrate/roles.js';
import type { Binaries } from './binaries.js';
import { isAlive } from './processes.js';
import { syncFolder, type Secrets } from './secrets.js';
import { runAs, type ServerUser } from './server-user.js';

/** The database that holds everything; its name inside the cluster. */
export const DATABASE = 'innerglove';
/** The cluster's superuser: used to set up, never by the service. */
export const ADMIN = 'innerglove_admin';

/**
 * Makes the cluster unless it is there. It is built in a side folder, with its roles and its empty database, and gets
 * its name only when it is complete: a start that is killed leaves a side folder, which the next start removes.
 */
export async function ensureCluster(
  base: string,
  binaries: Binaries,
  user: ServerUser | null,
  secrets: Secrets,
): Promise<string> {
  const cluster = join(base, 'cluster');
  await removeAbandoned(base);
  if (!(await stat(cluster).catch(() => null))) await build(base, cluster, binaries, user, secrets);
  const major = (await readFile(join(cluster, 'PG_VERSION'), 'utf8')).trim();
  if (Number(major) !== binaries.major) {
    throw new Error(
      `The data in ${cluster} were written by PostgreSQL ${major}, and this program brings PostgreSQL ${binaries.major}: ` +
        'dump them with the old version and restore them into a new folder.',
    );
  }
  return cluster;
}

const SIDE = /^cluster\.new-(\d+)-/;

async function removeAbandoned(base: string): Promise<void> {
  for (const name of await readdir(base)) {
    const builder = SIDE.exec(name)?.[1];
    if (builder !== undefined && !(await isAlive(Number(builder)))) {
      await rm(join(base, name), { recursive: true, force: true, maxRetries: 3 });
    }
  }
}

async function build(
  base: string,
  cluster: string,
  binaries: Binaries,
  user: ServerUser | null,
  secrets: Secrets,
): Promise<void> {
  const side = join(base, `cluster.new-${process.pid}-${randomBytes(4).toString('hex')}`);
  const passwordFile = `${side}.password`;
  try {
    await mkdir(side, { mode: 0o700 });
    await writeFile(passwordFile, `${secrets.passwords.admin}\n`, { mode: 0o600 });
    if (user) await Promise.all([side, passwordFile].map((path) => chown(path, user.uid, user.gid)));
    await must(
      runAs(user, binaries.initdb, [
        ...['-D', side, '-U', ADMIN, `--pwfile=${passwordFile}`],
        ...['--auth=scram-sha-256', '--data-checksums', '--encoding=UTF8', '--no-instructions'],
        // One collation on every machine, independent of its C library: an index must not depend on where it was built.
        ...(binaries.major >= 17
          ? ['--locale-provider=builtin', '--builtin-locale=C.UTF-8', '--locale=C']
          : ['--locale=C']),
      ]),
      'initdb',
    );
    await writeFile(join(side, 'pg_hba.conf'), 'host all all 127.0.0.1/32 scram-sha-256\n');
    await must(
      // Single-user mode needs no port and no second start; -j ends a statement at a semicolon and an empty line.
      runAs(user, binaries.postgres, ['--single', '-j', '-D', side, 'postgres'], await setUp(secrets)),
      'setting up the roles',
    );
    await rename(side, cluster).catch((error: NodeJS.ErrnoException) => {
      // Another start finished first, with the same secrets: its cluster is as good as ours.
      if (error.code !== 'ENOTEMPTY' && error.code !== 'EEXIST') throw error;
    });
    await syncFolder(base);
  } finally {
    await rm(passwordFile, { force: true });
    await rm(side, { recursive: true, force: true });
  }
}

async function setUp(secrets: Secrets): Promise<string> {
  const statements = [
    `create database ${DATABASE} owner innerglove_owner`,
    `revoke all on database ${DATABASE} from public`,
    `grant connect on database ${DATABASE} to innerglove_app, innerglove_worker`,
  ];
  return `${await rolesWithLogin(secrets.passwords)}${statements.map((statement) => `${statement};\n\n`).join('')}`;
}

async function must(run: ReturnType<typeof runAs>, what: string): Promise<void> {
  const { code, output } = await run;
  // Single-user mode ends with 0 even after an error.
  if (code !== 0 || /^.*\b(ERROR|FATAL|PANIC):/m.test(output)) {
    throw new Error(`The database could not be made (${what}): ${output.trim().split('\n').slice(-3).join(' / ')}`);
  }
}
