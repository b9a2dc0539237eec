import { parseArgs } from 'node:util';
import { BadUsage, problemOf } from './problem.js';
import type { ExitCode, Terminal, Verb } from './verb.js';

/** The verbs. Each is loaded only when asked for, so that a short command starts in a moment. */
const verbs: Readonly<Record<string, () => Promise<{ verb: Verb }>>> = {
  assess: () => import('./verbs/assess.js'),
  check: () => import('./verbs/check.js'),
  plan: () => import('./verbs/plan.js'),
  reading: () => import('./verbs/reading.js'),
};

/** Runs one command to its exit code; everything that goes wrong becomes one problem object on stderr. */
export async function run(args: readonly string[], terminal: Terminal): Promise<ExitCode> {
  try {
    return await dispatch(args, terminal);
  } catch (error) {
    terminal.stderr.write(`${JSON.stringify(problemOf(error))}\n`);
    return error instanceof BadUsage ? 2 : 1;
  }
}

async function dispatch([name, ...rest]: readonly string[], terminal: Terminal): Promise<ExitCode> {
  const known = Object.keys(verbs);
  if (name === '--help' || name === '-h') {
    for (const load of Object.values(verbs)) terminal.stdout.write(`innerglove ${(await load()).verb.usage}\n`);
    return 0;
  }
  if (name === undefined) throw new BadUsage('A verb is missing.', `one of: ${known.join(', ')}`);
  const load = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (!load) throw new BadUsage('There is no such verb.', `one of: ${known.join(', ')}`);
  const { verb } = await load();
  if (rest.includes('--help') || rest.includes('-h')) {
    terminal.stdout.write(`innerglove ${verb.usage}\n`);
    return 0;
  }
  const { values, positionals } = readArguments(verb, rest);
  return verb.run(values, terminal, positionals);
}

function readArguments(verb: Verb, args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      options: verb.options,
      allowPositionals: verb.positionals ?? false,
      strict: true,
    });
  } catch (error) {
    if (error instanceof Error && String((error as { code?: unknown }).code).startsWith('ERR_PARSE_ARGS')) {
      throw new BadUsage(error.message.replaceAll('\n', ' '), `innerglove ${verb.usage}`);
    }
    throw error;
  }
}

// stderr belongs to problem objects: a warning of the runtime between them would break whoever parses it.
process.removeAllListeners('warning');
process.on('warning', () => undefined);
// The reader of a pipe may leave early (`| head`); that is no fault of the command.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});
// No process.exit: what is still in the pipes would be cut off.
process.exitCode = await run(process.argv.slice(2), process);
