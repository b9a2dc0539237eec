import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { startEmbeddedDatabase } from '../embedded/supervisor.js';
import { describeSchema } from './describe-schema.js';
import { migrate } from './migrate.js';

/** `npm run db:dump`: writes what all migrations leave, from an empty database, to migrations/schema.sql. */
const folder = await mkdtemp(join(tmpdir(), 'innerglove-dump-'));
const database = await startEmbeddedDatabase({ folder });
try {
  await migrate({ url: database.ownerUrl });
  await writeFile(resolve('migrations/schema.sql'), await describeSchema(database.ownerUrl));
} finally {
  await database.stop();
  await rm(database.dataFolder, { recursive: true, force: true });
  await rm(folder, { recursive: true, force: true });
}
