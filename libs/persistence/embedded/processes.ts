import { execFile } from 'node:child_process';
import { readdir, readFile, readlink } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** What the server wrote about itself into `postmaster.pid`. */
export interface Postmaster {
  readonly pid: number;
  readonly port: number;
  /** It says so itself once it takes connections. */
  readonly ready: boolean;
}

/**
 * `ours`: the process in the file is a server of this cluster. `ended`: a zombie, or the id has gone to another program.
 * `absent`: no file.
 */
export type ClusterState =
  | { readonly kind: 'ours'; readonly postmaster: Postmaster }
  | { readonly kind: 'ended'; readonly pid: number }
  | { readonly kind: 'absent' };

/** Looks at who holds a cluster. */
export async function inspectCluster(cluster: string): Promise<ClusterState> {
  const postmaster = await readPostmaster(cluster);
  if (postmaster === null) return { kind: 'absent' };
  if (await isServerOf(cluster, postmaster.pid)) return { kind: 'ours', postmaster };
  return { kind: 'ended', pid: postmaster.pid };
}

async function readPostmaster(cluster: string): Promise<Postmaster | null> {
  const text = await readFile(join(cluster, 'postmaster.pid'), 'utf8').catch(() => '');
  const lines = text.split('\n');
  const pid = Number(lines[0]);
  if (!Number.isInteger(pid) || pid <= 0) return null;
  return { pid, port: Number(lines[3]), ready: lines[7]?.trim() === 'ready' };
}

/** Alive means: not only in the process table, as a zombie is, but running. */
export async function isAlive(pid: number): Promise<boolean> {
  try {
    process.kill(pid, 0);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return false;
  }
  if (process.platform === 'linux') {
    const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(() => '');
    // The name in parentheses may itself hold spaces and parentheses; the state follows the last one.
    const state = stat.slice(stat.lastIndexOf(')') + 2, stat.lastIndexOf(')') + 3);
    return state !== '' && state !== 'Z' && state !== 'X';
  }
  if (process.platform === 'win32') return true;
  const { stdout } = await run('ps', ['-o', 'stat=', '-p', String(pid)]).catch(() => ({ stdout: '' }));
  return stdout.trim() !== '' && !stdout.trim().startsWith('Z');
}

async function isServerOf(cluster: string, pid: number): Promise<boolean> {
  if (!(await isAlive(pid))) return false;
  if (process.platform === 'win32') return true;
  const words =
    process.platform === 'linux'
      ? (await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => '')).split('\0')
      : (await run('ps', ['-o', 'command=', '-p', String(pid)]).catch(() => ({ stdout: '' }))).stdout.trim().split(' ');
  return /postgres(\.exe)?$/.test(words[0] ?? '') && words.includes(cluster);
}

/**
 * Server processes that outlived their postmaster. A new one must not start before the last of them is gone: they
 * still hold shared memory and may still write.
 */
export async function findOrphans(cluster: string): Promise<number[]> {
  if (process.platform !== 'linux') return [];
  const orphans: number[] = [];
  for (const entry of await readdir('/proc')) {
    const pid = Number(entry);
    if (!Number.isInteger(pid)) continue;
    const folder = await readlink(`/proc/${pid}/cwd`).catch(() => null);
    if (folder !== cluster) continue;
    const name = await readFile(`/proc/${pid}/comm`, 'utf8').catch(() => '');
    if (name.startsWith('postgres')) orphans.push(pid);
  }
  return orphans;
}

/** When a process started, in the kernel's ticks: tells a process from a later one with the same id. */
export async function startOf(pid: number): Promise<string> {
  if (process.platform !== 'linux') return '';
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(() => '');
  return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? '';
}
