import { spawn } from 'node:child_process';
import { rm } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { createDataFolder } from '../support/data-folder.js';
import { shown, spreadOf, type Line } from './repetitions.js';

const REPETITIONS = 3;
const demo = fileURLToPath(new URL('../../apps/cli/demo.js', import.meta.url));

/** Seconds from the start of the program to its printed address, on an empty data folder. */
async function start(): Promise<number> {
  const folder = await createDataFolder('bench-demo');
  const begun = performance.now();
  const child = spawn(process.execPath, [demo], {
    env: { PATH: process.env.PATH, DATA_FOLDER: folder, PORT: '0', DEMO_PASSWORD: 'seven quiet storks at dawn' },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  try {
    return await new Promise<number>((resolve, reject) => {
      child.stdout.on('data', (chunk: Buffer) => {
        if (chunk.toString().includes('is ready')) resolve((performance.now() - begun) / 1000);
      });
      child.once('exit', () => reject(new Error('The demo ended before it was ready.')));
    });
  } finally {
    child.kill('SIGINT');
    await ended;
    await rm(folder, { recursive: true, force: true });
  }
}

export async function benchDemoStart(): Promise<Line[]> {
  const seconds: number[] = [];
  for (let repetition = 0; repetition < REPETITIONS; repetition += 1) seconds.push(await start());
  return [{ what: 'Demo, from nothing to ready', figure: 's', spread: shown(spreadOf(seconds), 1), aim: 'under 15' }];
}
