import { spawn } from 'node:child_process';

/** One block of the walkthrough: what is pasted into a shell, and what the page says came back. */
export interface Block {
  readonly script: string;
  readonly told: string | null;
}

const BLOCK = /```sh\n([\s\S]*?)```\n(?:\n```text\n([\s\S]*?)```\n)?/g;

export function blocksOf(markdown: string): Block[] {
  return [...markdown.matchAll(BLOCK)].map(([, script = '', told]) => ({ script, told: told ?? null }));
}

const END = '--- end of block ---';

/** Runs every block in one shell, as somebody would who pastes them one after the other; what each printed. */
export async function runBlocks(
  blocks: readonly Block[],
  { folder, variables }: { readonly folder: string; readonly variables: Readonly<Record<string, string>> },
): Promise<string[]> {
  const script = blocks.map((block) => `${block.script}\necho '${END}'\n`).join('');
  const shell = spawn('bash', ['-u'], {
    cwd: folder,
    env: { PATH: process.env['PATH'], LC_ALL: 'C.UTF-8', ...variables },
    stdio: ['pipe', 'pipe', 'pipe'],
  });
  let output = '';
  shell.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()));
  shell.stderr.on('data', (chunk: Buffer) => (output += chunk.toString()));
  shell.stdin.end(script);
  await new Promise((ended) => shell.once('close', ended));
  return output.split(`${END}\n`).slice(0, blocks.length);
}

/** What is new each time stands as what it is: an id, an instant, a date. */
export function withoutChance(text: string): string {
  return text
    .replaceAll(/[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g, '<id>')
    .replaceAll(/\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)/g, '<instant>')
    .replaceAll(/\d{4}-\d\d-\d\d/g, '<date>');
}
