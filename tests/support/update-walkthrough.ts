import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createDataFolder } from './data-folder.js';
import { startProgram } from './started-program.js';
import { blocksOf, runBlocks } from './walkthrough.js';

/**
 * Writes into docs/walkthrough.md what its commands print now. The difference is to be read before it is committed: it
 * shows what changed for whoever calls the service.
 */
const PAGE = join(process.cwd(), 'docs', 'walkthrough.md');
const password = 'seven quiet storks at dawn';

const folder = await createDataFolder('walkthrough');
const demo = await startProgram('demo', { DATA_FOLDER: join(folder, 'data'), DEMO_PASSWORD: password });
try {
  const page = await readFile(PAGE, 'utf8');
  const blocks = blocksOf(page);
  const printed = await runBlocks(blocks, {
    folder,
    variables: { ADDRESS: demo.address, DEMO_PASSWORD: password },
  });
  let written = page;
  for (const [index, { script, told }] of blocks.entries()) {
    if (told === null) continue;
    const block = (output: string) => `\`\`\`sh\n${script}\`\`\`\n\n\`\`\`text\n${output}\`\`\`\n`;
    written = written.replace(block(told), () => block(printed[index] ?? ''));
  }
  await writeFile(PAGE, written);
} finally {
  await demo.stop();
  await rm(folder, { recursive: true, force: true });
}
