import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** This file stands in the sources while tests run, and in the build when a script uses it. */
const BUILT = import.meta.url.includes('/dist/tests/') ? '../..' : '../../dist';

/** `npm start` or `npm run demo` as a child process. */
export interface StartedProgram {
  readonly address: string;
  readonly milliseconds: number;
  output(): string;
  /** Resolves with the exit code. */
  stop(signal?: NodeJS.Signals): Promise<number | null>;
}

/** Starts the built program on a free port and waits for the address that it prints. */
export async function startProgram(
  name: 'start' | 'demo',
  environment: Readonly<Record<string, string>>,
): Promise<StartedProgram> {
  const begun = performance.now();
  const file = fileURLToPath(new URL(`${BUILT}/apps/cli/${name}.js`, import.meta.url));
  const child = spawn(process.execPath, [file], {
    env: { PATH: process.env['PATH'], PORT: '0', PUBLIC_URL: 'http://localhost:1', ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  const address = await new Promise<string>((resolve, reject) => {
    const read = (chunk: Buffer) => {
      output += chunk.toString();
      const ready = /(?:ready|Open)\D*?(https?:\/\/\S+:\d+)/.exec(output)?.[1];
      if (ready) resolve(ready);
    };
    child.stdout.on('data', read);
    child.stderr.on('data', read);
    void ended.then(() => reject(new Error(`It ended at once: ${output}`)));
  });
  return {
    address,
    milliseconds: performance.now() - begun,
    output: () => output,
    stop: (signal = 'SIGTERM') => {
      child.kill(signal);
      return ended;
    },
  };
}
