import { randomBytes } from 'node:crypto';
import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { isAlive, startOf } from './processes.js';

/**
 * Who uses a server that several processes share: the last one to leave stops it. A process that was killed does not
 * count, since its entry names when it started.
 */
export class Users {
  readonly #folder: string;
  // One process may use the server in two places.
  readonly #name = `${process.pid}-${randomBytes(4).toString('hex')}`;

  constructor(folder: string) {
    this.#folder = join(folder, 'users');
  }

  async enter(): Promise<void> {
    await mkdir(this.#folder, { recursive: true });
    await writeFile(join(this.#folder, this.#name), await startOf(process.pid));
  }

  /** Returns how many others are still there. */
  async leave(): Promise<number> {
    await rm(join(this.#folder, this.#name), { force: true });
    let others = 0;
    for (const name of await readdir(this.#folder)) {
      const path = join(this.#folder, name);
      const started = await readFile(path, 'utf8').catch(() => '');
      const pid = Number.parseInt(name, 10);
      if ((await isAlive(pid)) && (await startOf(pid)) === started) others += 1;
      else await rm(path, { force: true });
    }
    return others;
  }
}
