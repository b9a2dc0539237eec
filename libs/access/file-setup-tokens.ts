import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { SetupTokens, type SetupClaim } from '#application';

const A_DAY_MS = 24 * 60 * 60 * 1000;

interface Kept {
  readonly tokenHash: string;
  readonly expiresAt: string;
}

const hashOf = (token: string): Buffer => createHash('sha256').update(token).digest();

/** Keeps the hash of the one-time token in the data folder: whoever can read that folder owns the installation anyway. */
export class FileSetupTokens extends SetupTokens {
  private readonly path: string;

  constructor(
    private readonly folder: string,
    private readonly now: () => number = Date.now,
  ) {
    super();
    this.path = join(folder, 'setup-link.json');
  }

  /** A new token, good for a day; every earlier one is worth nothing from now on. */
  async issue(): Promise<string> {
    const token = randomBytes(32).toString('base64url');
    const kept: Kept = {
      tokenHash: hashOf(token).toString('hex'),
      expiresAt: new Date(this.now() + A_DAY_MS).toISOString(),
    };
    await mkdir(this.folder, { recursive: true });
    const draft = `${this.path}.${randomBytes(4).toString('hex')}`;
    await writeFile(draft, JSON.stringify(kept), { mode: 0o600 });
    await rename(draft, this.path);
    return token;
  }

  override async claim(token: string): Promise<SetupClaim | null> {
    const kept = await this.read();
    if (kept === null || Date.parse(kept.expiresAt) <= this.now()) return null;
    if (!timingSafeEqual(Buffer.from(kept.tokenHash, 'hex'), hashOf(token))) return null;
    const claimed = `${this.path}.claimed-${randomBytes(4).toString('hex')}`;
    try {
      // Of two callers at the same moment the file system lets one take it.
      await rename(this.path, claimed);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
      throw error;
    }
    return { settle: () => rm(claimed, { force: true }), release: () => rename(claimed, this.path) };
  }

  private async read(): Promise<Kept | null> {
    try {
      return JSON.parse(await readFile(this.path, 'utf8')) as Kept;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
      throw error;
    }
  }
}
