import { spawn, type ChildProcess, type SpawnOptions } from 'node:child_process';
import { readFile } from 'node:fs/promises';

/** The operating-system user that the server runs as, when that is not the user who started us. */
export interface ServerUser {
  readonly name: string;
  readonly uid: number;
  readonly gid: number;
}

/** PostgreSQL refuses to run as root: then it runs as `postgres`, else as `nobody`. Null: as ourselves. */
export async function findServerUser(): Promise<ServerUser | null> {
  if (process.getuid?.() !== 0) return null;
  const passwd = await readFile('/etc/passwd', 'utf8');
  for (const name of ['postgres', 'nobody']) {
    const fields = passwd
      .split('\n')
      .find((line) => line.startsWith(`${name}:`))
      ?.split(':');
    if (fields) return { name, uid: Number(fields[2]), gid: Number(fields[3]) };
  }
  throw new Error('The database does not run as root, and there is neither a user `postgres` nor `nobody` here.');
}

/** Nothing of our own environment reaches the server: neither secrets nor a locale. */
const ENVIRONMENT = { PATH: '/usr/local/bin:/usr/bin:/bin', LC_ALL: 'C', TZ: 'UTC' };

/** Starts a program as the server's user, outside any folder that this user could not enter. */
export function spawnAs(
  user: ServerUser | null,
  command: string,
  args: readonly string[],
  options: SpawnOptions = {},
): ChildProcess {
  const environment = process.platform === 'win32' ? process.env : ENVIRONMENT;
  const identity = user ? { uid: user.uid, gid: user.gid } : {};
  return spawn(command, args, {
    cwd: process.platform === 'win32' ? undefined : '/',
    env: environment,
    ...identity,
    ...options,
  });
}

/** Runs a program as the server's user to its end; `input` goes to its standard input. */
export async function runAs(
  user: ServerUser | null,
  command: string,
  args: readonly string[],
  input = '',
): Promise<{ readonly code: number | null; readonly output: string }> {
  const child = spawnAs(user, command, args, { stdio: ['pipe', 'pipe', 'pipe'] });
  let output = '';
  child.stdout?.on('data', (chunk: Buffer) => (output += chunk.toString()));
  child.stderr?.on('data', (chunk: Buffer) => (output += chunk.toString()));
  // A program that ends before it has read its input is told by its exit code, not by the broken pipe.
  child.stdin?.on('error', () => undefined);
  child.stdin?.end(input);
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, output }));
  });
}

/** Whether the server's user may enter a folder or run a program, every folder above it included. */
export async function canReach(user: ServerUser | null, path: string, how: 'enter' | 'execute'): Promise<boolean> {
  if (user === null) return true;
  const test = how === 'enter' ? 'cd "$0"' : 'test -x "$0"';
  const { code } = await runAs(user, '/bin/sh', ['-c', test, path]);
  return code === 0;
}
