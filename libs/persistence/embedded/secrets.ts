import { randomBytes } from 'node:crypto';
import { link, open, readFile, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';

/** What only the data folder knows. */
export interface Secrets {
  readonly passwords: { readonly admin: string; readonly owner: string; readonly app: string; readonly worker: string };
  /** 32 bytes, hexadecimal. */
  readonly masterKey: string;
}

/**
 * Reads the secrets of a data folder, or makes them. Of two starts at the same moment one makes them and the other
 * reads the same ones; a file is either complete and on disk, or absent.
 */
export async function readOrCreateSecrets(folder: string): Promise<Secrets> {
  const passwords = await readOrCreate(join(folder, 'database-passwords.json'), () =>
    JSON.stringify({ admin: secret(), owner: secret(), app: secret(), worker: secret() }),
  );
  const masterKey = await readOrCreate(join(folder, 'master.key'), () => `${randomBytes(32).toString('hex')}\n`);
  return { passwords: JSON.parse(passwords) as Secrets['passwords'], masterKey: masterKey.trim() };
}

// Letters and digits only: it stands in URLs and in SQL text.
const secret = (): string => randomBytes(24).toString('hex');

/** A small file that is made once, whole and on disk, by whoever comes first; everybody reads the same. */
export async function readOrCreate(path: string, content: () => string): Promise<string> {
  const present = await readFile(path, 'utf8').catch(missing);
  if (present !== null) return present;
  const draft = `${path}.new-${process.pid}-${randomBytes(4).toString('hex')}`;
  const file = await open(draft, 'wx', 0o600);
  await file.writeFile(content());
  await file.sync();
  await file.close();
  // A link fails where a rename would overwrite: the first one wins.
  await link(draft, path).catch((error: NodeJS.ErrnoException) => {
    if (error.code !== 'EEXIST') throw error;
  });
  await rm(draft);
  await syncFolder(dirname(path));
  return readFile(path, 'utf8');
}

function missing(error: NodeJS.ErrnoException): null {
  if (error.code === 'ENOENT') return null;
  throw error;
}

/** Makes the names in a folder durable: a new or renamed file is only then sure to be found after a power cut. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  await handle.sync();
  await handle.close();
}
