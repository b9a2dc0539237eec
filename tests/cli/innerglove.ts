import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const MAIN = fileURLToPath(new URL('../../dist/apps/cli/main.js', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built command line as a process of its own, with the given text on its standard input. */
export function innerglove(args: readonly string[], input = ''): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [MAIN, ...args], {
      stdio: 'pipe',
      // The options of the test runner are no business of the command.
      env: { ...process.env, NODE_OPTIONS: '' },
    });
    let stdout = '';
    let stderr = '';
    child.stdout.setEncoding('utf8').on('data', (chunk: string) => (stdout += chunk));
    child.stderr.setEncoding('utf8').on('data', (chunk: string) => (stderr += chunk));
    // A command that refuses early closes its input before all is written.
    child.stdin.on('error', () => undefined);
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, stdout, stderr }));
    child.stdin.end(input);
  });
}

/** What a command printed, as JSON. */
export function json<T = Record<string, unknown>>(text: string): T {
  return JSON.parse(text) as T;
}
