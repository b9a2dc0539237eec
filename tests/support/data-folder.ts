import { chmod, mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * A data folder for an embedded database of one test. The server's user may enter it, also when root runs the tests:
 * else the cluster would stand elsewhere, and stay there when the folder is removed.
 */
export async function createDataFolder(name: string): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), `innerglove-${name}-`));
  await chmod(folder, 0o755);
  return folder;
}
