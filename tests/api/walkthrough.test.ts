import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PASSWORD } from './support/site-in-use.js';
import { createDataFolder } from '../support/data-folder.js';
import { startProgram, type StartedProgram } from '../support/started-program.js';
import { blocksOf, runBlocks, withoutChance } from '../support/walkthrough.js';

describe('the walkthrough', () => {
  let data: string;
  let folder: string;
  let service: StartedProgram;

  beforeAll(async () => {
    data = await createDataFolder('data');
    folder = await mkdtemp(join(tmpdir(), 'innerglove-walkthrough-'));
    service = await startProgram('demo', { DATA_FOLDER: data, DEMO_PASSWORD: PASSWORD });
    // The demo tells four months before it opens: a quarter of a minute alone, longer beside other tests.
  }, 180_000);

  afterAll(async () => {
    await service.stop();
    await rm(data, { recursive: true, force: true });
    await rm(folder, { recursive: true, force: true });
  });

  it('does with curl alone what it says, and prints what it shows', async () => {
    const page = await readFile(new URL('../../docs/walkthrough.md', import.meta.url), 'utf8');
    const blocks = blocksOf(page);

    const printed = await runBlocks(blocks, {
      folder,
      variables: { ADDRESS: service.address, DEMO_PASSWORD: PASSWORD },
    });

    expect(blocks.length).toBeGreaterThan(10);
    expect(printed.map(withoutChance)).toEqual(blocks.map(({ told }) => withoutChance(told ?? '')));
  });
});
