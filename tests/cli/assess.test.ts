import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { innerglove, json } from './innerglove.js';

interface Printed {
  readonly category: string;
  readonly categoryId: string;
  readonly settled: boolean;
  readonly rule: string | null;
  readonly error?: {
    readonly type: string;
    readonly errors: readonly { readonly pointer: string; readonly accepted: string }[];
  };
}

const SPLASH = { mucosaEye: 'yes', bodyFluid: 'yes' };
const NOTHING = {
  percutaneous: 'no',
  mucosaEye: 'no',
  mucosaMouthNose: 'no',
  brokenSkin: 'no',
  intactSkin: 'no',
  bodyFluid: 'no',
  contactPossible: 'no',
  ppeBreach: 'no',
  recommendedPpe: 'yes',
  touchedPatient: 'no',
  handledSoiled: 'no',
  activity: 'care',
  inhalation: 'no',
};

const assess = (input: string, ...more: string[]) => innerglove(['assess', '--table', 'vhf-cdc-2023', ...more], input);
const problemOf = (stderr: string) =>
  json<{ type: string; title: string; detail: string; errors?: { pointer?: string; accepted?: string }[] }>(stderr);

describe('innerglove assess', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'innerglove-facts-'));
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it('prints one object for one object, with exactly the keys of the contract', async () => {
    const { code, stdout, stderr } = await assess(JSON.stringify(SPLASH));
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const printed = json(stdout);
    expect(Object.keys(printed)).toEqual(
      'table version hash category categoryId actions level settled reachable openQuestions rule sources grade explanation cautions'.split(
        ' ',
      ),
    );
    expect(printed).toMatchObject({
      table: 'vhf-cdc-2023',
      version: '1',
      category: 'high-risk exposure',
      level: 3,
      settled: true,
      rule: 'V1',
      reachable: ['high-risk exposure'],
      openQuestions: [],
      grade: 'read',
    });
    expect(printed['hash']).toMatch(/^[0-9a-f]{64}$/);
    expect(printed['cautions']).toContain('This is a decision aid, not a diagnosis.');
  });

  it('assumes the worst of what is unknown and says which questions are open', async () => {
    const { code, stdout } = await assess('{"percutaneous":"unknown","mucosaEye":null}');
    expect(code).toBe(0);
    expect(json(stdout)).toMatchObject({ category: 'high-risk exposure', level: 3, settled: false, rule: null });
    expect(json<{ openQuestions: unknown[] }>(stdout).openQuestions.length).toBeGreaterThan(3);
  });

  it('reads the facts from a file, and takes a table by id and version', async () => {
    const file = join(folder, 'facts.json');
    await writeFile(file, JSON.stringify(NOTHING));
    const { code, stdout } = await innerglove(['assess', '--table', 'vhf-cdc-2023@1', '--facts', file]);
    expect(code).toBe(0);
    expect(json(stdout)).toMatchObject({ categoryId: 'no-known-high-risk', rule: 'V6', settled: true });
  });

  it('answers an array with an array, and one bad element in its place', async () => {
    const { code, stdout, stderr } = await assess(JSON.stringify([SPLASH, { mucosaEye: 'perhaps' }, 7, NOTHING]));
    expect(code).toBe(1);
    const results = json<Printed[]>(stdout);
    expect(results.map(({ categoryId, error }) => categoryId ?? error?.type)).toEqual([
      'high-risk',
      '/problems/unacceptable-answer',
      '/problems/unacceptable-answer',
      'no-known-high-risk',
    ]);
    expect(results[1]?.error?.errors).toMatchObject([
      { pointer: '/1/mucosaEye', accepted: 'one of: yes, no, unknown' },
    ]);
    expect(results[2]?.error?.errors).toMatchObject([{ pointer: '/2' }]);
    expect(problemOf(stderr)).toMatchObject({
      type: '/problems/elements-refused',
      detail: expect.stringContaining('2 of 4'),
    });
  });

  it('answers NDJSON line by line in order, and one bad line in its place', async () => {
    const lines = [
      JSON.stringify(SPLASH),
      '{"mucosaEye": "yes"',
      '',
      JSON.stringify({ weather: 'fine' }),
      JSON.stringify(NOTHING),
    ];
    const { code, stdout, stderr } = await assess(`${lines.join('\n')}\n`);
    expect(code).toBe(1);
    const results = stdout
      .trimEnd()
      .split('\n')
      .map((line) => json<Printed>(line));
    expect(results.map(({ categoryId, error }) => categoryId ?? error?.type)).toEqual([
      'high-risk',
      '/problems/malformed-json',
      '/problems/unknown-fact',
      'no-known-high-risk',
    ]);
    expect(results[2]?.error?.errors).toMatchObject([{ pointer: '/weather' }]);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });

  it('ends with 0 when every line could be answered', async () => {
    const { code, stdout, stderr } = await assess(`${JSON.stringify(SPLASH)}\n${JSON.stringify(NOTHING)}`);
    expect({ code, stderr, lines: stdout.trimEnd().split('\n').length }).toEqual({ code: 0, stderr: '', lines: 2 });
  });

  it('takes a file of lines for lines even when there is one only', async () => {
    const file = join(folder, 'facts.ndjson');
    await writeFile(file, '{"mucosaEye":\n');
    const { code, stdout } = await assess('', '--facts', file);
    expect(code).toBe(1);
    expect(json<Printed>(stdout).error?.type).toBe('/problems/malformed-json');
  });

  it.each<[string, string, string, Record<string, unknown>]>([
    ['a fact outside the vocabulary', '{"weather":"fine"}', 'unknown-fact', { pointer: '/weather' }],
    [
      'an unlisted value',
      '{"mucosaEye":"maybe"}',
      'unacceptable-answer',
      { pointer: '/mucosaEye', accepted: 'one of: yes, no, unknown' },
    ],
    ['a quantity out of its limits', '{"contactMinutes":-5}', 'unacceptable-answer', { pointer: '/contactMinutes' }],
    [
      'facts that exclude each other',
      '{"bodyFluid":"no","contactPossible":"yes"}',
      'impossible-combination',
      { pointer: '/contactPossible' },
    ],
    ['facts that are no object', '"yes"', 'unacceptable-answer', { pointer: '' }],
    ['malformed JSON', '{"mucosaEye": yes}', 'malformed-json', {}],
    ['nothing at all', '', 'malformed-json', {}],
  ])('refuses %s with exit 1 and one problem object', async (_, input, code, error) => {
    const ended = await assess(input);
    expect(ended).toMatchObject({ code: 1, stdout: '' });
    expect(ended.stderr.trimEnd().split('\n')).toHaveLength(1);
    const problem = problemOf(ended.stderr);
    expect(problem).toMatchObject({ type: `/problems/${code}`, errors: [error] });
    expect(problem.title).not.toBe('');
  });

  it('names the pair of facts that exclude each other', async () => {
    const { stderr } = await assess('{"bodyFluid":"no","contactPossible":"yes"}');
    expect(problemOf(stderr).detail).toContain('bodyFluid and contactPossible cannot be true together');
  });

  it('tells where JSON breaks and never repeats what was written there', async () => {
    const { stderr } = await assess('{\n  "mucosaEye": HIV-positive\n}');
    expect(problemOf(stderr).detail).toContain('line 2, column 16');
    expect(stderr).not.toContain('HIV');
  });

  it('refuses an unknown table and lists the known ones', async () => {
    const { code, stderr } = await innerglove(['assess', '--table', 'vhf-nowhere'], '{}');
    expect(code).toBe(1);
    expect(problemOf(stderr)).toMatchObject({ type: '/problems/unknown-table' });
    expect(stderr).toContain('vhf-cdc-2023@1');
    expect((await innerglove(['assess', '--table', 'vhf-cdc-2023@99'], '{}')).code).toBe(1);
  });

  it('refuses a file that cannot be read', async () => {
    const { code, stderr } = await assess('', '--facts', join(folder, 'absent.json'));
    expect(code).toBe(1);
    expect(problemOf(stderr)).toMatchObject({ type: '/problems/unreadable-file' });
  });

  it.each([
    [[], 'one of: assess, check'],
    [['asses'], 'one of: assess, check'],
    [['assess'], 'innerglove assess --table'],
    [['assess', '--table', 'vhf-cdc-2023', '--fact', 'x'], 'innerglove assess --table'],
    [['assess', '--table', 'vhf-cdc-2023', 'x'], 'innerglove assess --table'],
    [['constructor'], 'one of: assess, check'],
  ])('ends %j with exit 2 and says how it is used', async (args, accepted) => {
    const { code, stdout, stderr } = await innerglove(args, '{}');
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(problemOf(stderr)).toMatchObject({
      type: '/problems/bad-usage',
      errors: [{ accepted: expect.stringContaining(accepted) }],
    });
  });

  it('says on request how it is used', async () => {
    const { code, stdout } = await innerglove(['--help']);
    expect(code).toBe(0);
    expect(stdout).toContain('innerglove assess --table <id>[@version] [--facts FILE|-]');
  });
});
