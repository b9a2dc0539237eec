import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { judgeReading, type Reading } from '#domain';
import { loadRulebook } from '#rulebook';
import { BadUsage, CommandRefused, isRefusal, problemOf } from '../problem.js';
import { readingOfLine } from '../reading-line.js';
import type { Terminal, Verb } from '../verb.js';

const usage = 'reading --profile <agent>/<authority>[@version] --data FILE|-';

/** Judges readings, one JSON object a line: an alert or none, and why. A bad line leaves its problem in its place. */
export const verb: Verb = {
  usage,
  options: { profile: { type: 'string' }, data: { type: 'string' } },
  async run({ profile: ref, data }, terminal) {
    if (typeof ref !== 'string' || ref === '') throw new BadUsage('--profile is missing.', `innerglove ${usage}`);
    if (typeof data !== 'string' || data === '') throw new BadUsage('--data is missing.', `innerglove ${usage}`);
    const { id, threshold, symptoms } = loadRulebook().profile(ref);
    const monitored = { thresholds: [{ ...threshold, profile: id }], symptoms };
    const lines = (await textOf(data, terminal)).split(/\r?\n/).filter((line) => line.trim() !== '');
    const earlier: Reading[] = [];
    let refusals = 0;
    for (const line of lines) {
      try {
        const reading = readingOfLine(line, symptoms);
        print(terminal, { at: reading.at, ...judgeReading(reading, monitored, earlier) });
        earlier.push(reading);
      } catch (error) {
        if (!isRefusal(error)) throw error;
        print(terminal, { error: problemOf(error) });
        refusals += 1;
      }
    }
    if (refusals === 0) return 0;
    throw new CommandRefused('elements-refused', `${refusals} of ${lines.length} lines were refused; each says why.`);
  },
};

function print({ stdout }: Terminal, result: object): void {
  stdout.write(`${JSON.stringify(result)}\n`);
}

async function textOf(from: string, { stdin }: Terminal): Promise<string> {
  if (from === '-') return text(stdin);
  try {
    return await readFile(from, 'utf8');
  } catch (error) {
    const code = String((error as NodeJS.ErrnoException).code);
    throw new CommandRefused('unreadable-file', `The readings cannot be read (${code}).`, 'a file of NDJSON, or -');
  }
}
