import 'reflect-metadata';
import { readFileSync } from 'node:fs';
import { cpus, totalmem } from 'node:os';
import { parseArgs } from 'node:util';
import { benchAssessment } from './assessment.js';
import { benchDemoStart } from './demo-start.js';
import { benchLetters } from './letters.js';
import type { Line } from './repetitions.js';
import { benchReports } from './reports.js';

/*
 * Figures side by side in one run, so that a ratio compares two things on the same machine at the same time. Printed as
 * Markdown for docs/benchmarks.md. `npm run bench -- --only letters,assessment` runs some.
 */

const PARTS: Readonly<Record<string, { readonly title: string; run(): Promise<Line[]> }>> = {
  reports: { title: 'A report over HTTP, ten connections, ten pooled', run: benchReports },
  assessment: { title: 'Assessment, 10,000 rotating sets of facts, `vhf-cdc-2023@1`', run: benchAssessment },
  letters: { title: 'Letter', run: benchLetters },
  demo: { title: 'Start', run: benchDemoStart },
};

const { values } = parseArgs({ options: { only: { type: 'string' } } });
const chosen = values.only?.split(',') ?? Object.keys(PARTS);

const [cpu] = cpus();
const { imports: _imports, ...own } = JSON.parse(
  readFileSync(new URL('../../../package.json', import.meta.url), 'utf8'),
) as { imports: unknown; version: string };
process.stdout.write(
  [
    `Date: ${new Date().toISOString().slice(0, 10)}. Version ${own.version}.`,
    `Machine: ${cpus().length} × ${cpu?.model.trim() ?? 'unknown processor'}, ${Math.round(totalmem() / 2 ** 30)} GiB, Node ${process.version}.`,
    'Command: `npm run bench`. Figures are least / middle / greatest over the repetitions.',
    '',
    '',
  ].join('\n'),
);
for (const name of chosen) {
  const part = PARTS[name];
  if (!part) throw new Error(`There is no part ${name}: one of ${Object.keys(PARTS).join(', ')}`);
  const lines = await part.run();
  process.stdout.write(
    [
      `## ${part.title}`,
      '',
      '| what | figure | least / middle / greatest | aim |',
      '| --- | --- | --- | --- |',
      ...lines.map(({ what, figure, spread, aim }) => `| ${what} | ${figure} | ${spread} | ${aim} |`),
      '',
      '',
    ].join('\n'),
  );
}
