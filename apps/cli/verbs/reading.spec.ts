import { Readable, Writable } from 'node:stream';
import { describe, expect, it } from '@jest/globals';
import { verb } from './reading.js';

/** What is printed for some lines, and how the command ended. */
async function judged(profile: string, lines: readonly string[]) {
  let printed = '';
  const stdout = new Writable({
    write(chunk, _encoding, done) {
      printed += String(chunk);
      done();
    },
  });
  const stdin = Readable.from([lines.join('\n')]);
  const ended = await verb
    .run({ profile, data: '-' }, { stdin, stdout, stderr: stdout }, [])
    .catch((error: unknown) => error);
  const results = printed
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Record<string, unknown>);
  return { results, ended };
}

const reading = (changes: object) =>
  JSON.stringify({ at: '2026-10-21T07:10:00Z', unit: 'Cel', feltFever: false, antipyreticTaken: false, ...changes });

describe('innerglove reading', () => {
  it('tells for each line whether it is an alert, and why', async () => {
    const { results, ended } = await judged('ebola/cdc@2014', [
      reading({ value: 36.6 }),
      reading({ value: 100.4, unit: '[degF]' }),
      reading({ value: 36.6, symptoms: ['vomiting'] }),
      reading({ value: '73.8' }),
      reading({ value: null, feltFever: 'yes' }),
    ]);
    expect(results.map(({ alert }) => alert)).toEqual([null, 'fever', 'symptom', 'implausible', 'fever']);
    expect(results[0]).toMatchObject({ at: '2026-10-21T07:10:00Z', reassuring: true, reasons: [] });
    expect(results[1]?.['reasons']).toEqual(['The temperature is at or over 38.0 °C (ebola/cdc@2014).']);
    expect(ended).toBe(0);
  });

  it('counts two readings in succession where the profile asks for two', async () => {
    const { results } = await judged('smallpox/state-us', [
      reading({ value: 101, unit: '[degF]' }),
      reading({ value: 101.2, unit: '[degF]', at: '2026-10-21T19:10:00Z' }),
    ]);
    expect(results.map(({ alert }) => alert)).toEqual([null, 'fever']);
  });

  it('leaves a problem in the place of a bad line, goes on, and refuses at the end', async () => {
    const { results, ended } = await judged('ebola/cdc@2014', [
      reading({ value: 370 }),
      '{"at":',
      '[]',
      reading({ value: 36.6, unit: 'K' }),
      reading({ value: 36.6, at: '2026-10-21' }),
      reading({ value: 36.6, symptoms: ['boredom'] }),
      reading({ value: 36.6, feltFever: 'a bit' }),
      reading({ value: '36,6' }),
      reading({ value: 36.6 }),
    ]);
    const problems = results.map(({ error }) => error as { type: string; errors?: { pointer?: string }[] } | undefined);
    expect(problems.map((problem) => [problem?.type, problem?.errors?.[0]?.pointer])).toEqual([
      ['/problems/unacceptable-answer', '/value'],
      ['/problems/malformed-json', undefined],
      ['/problems/unacceptable-answer', ''],
      ['/problems/unacceptable-answer', '/unit'],
      ['/problems/unreadable-instant', '/at'],
      ['/problems/unacceptable-answer', '/symptoms/0'],
      ['/problems/unacceptable-answer', '/feltFever'],
      ['/problems/unreadable-temperature', '/value'],
      [undefined, undefined],
    ]);
    expect(results.at(-1)).toMatchObject({ alert: null, reassuring: true });
    expect(ended).toMatchObject({ code: 'elements-refused', message: '8 of 9 lines were refused; each says why.' });
  });

  it('refuses an unknown profile and a file that is not there, and calls a missing option bad usage', async () => {
    expect((await judged('ebola/nobody', [])).ended).toMatchObject({ code: 'unknown-profile' });
    const terminal = { stdin: Readable.from([]), stdout: new Writable(), stderr: new Writable() };
    await expect(verb.run({ profile: 'ebola/cdc', data: '/no/such/file' }, terminal, [])).rejects.toMatchObject({
      code: 'unreadable-file',
    });
    await expect(verb.run({ profile: 'ebola/cdc' }, terminal, [])).rejects.toMatchObject({ code: 'bad-usage' });
    await expect(verb.run({ data: '-' }, terminal, [])).rejects.toMatchObject({ code: 'bad-usage' });
  });
});
