import { mkdir, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';

/** Four looks at the tables that did not happen, or did not succeed. */
const LONGEST_SILENCE_MS = 20_000;

/** A file that the worker touches after every look at what is due: it has no port that could be asked. */
export class SignOfLife {
  private readonly file: string;

  constructor(private readonly dataFolder: string) {
    this.file = join(dataFolder, 'worker-looked');
  }

  async give(): Promise<void> {
    await mkdir(this.dataFolder, { recursive: true });
    await writeFile(this.file, '');
  }

  /** Whether the worker has looked a moment ago. */
  async isFresh(now: number = Date.now()): Promise<boolean> {
    const looked = await stat(this.file).catch(() => null);
    return looked !== null && now - looked.mtimeMs < LONGEST_SILENCE_MS;
  }
}
