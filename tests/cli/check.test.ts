import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { innerglove, json } from './innerglove.js';

const TABLES = fileURLToPath(new URL('../../libs/rulebook/data/tables/', import.meta.url));

interface Inputs {
  readonly inputs: readonly {
    readonly fact: string;
    readonly question: string;
    readonly kind: string;
    readonly values?: readonly string[];
    readonly min?: string;
    readonly bands?: readonly string[];
  }[];
}

describe('innerglove check', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'innerglove-table-'));
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  /** A shipped table with its texts, altered, as files of one's own. */
  async function altered(change: (yaml: string) => string): Promise<string> {
    const file = join(folder, `${String(Math.random()).slice(2)}.yaml`);
    const [table, texts] = await Promise.all(
      ['cdc/vhf-cdc-2023@1.yaml', 'cdc/vhf-cdc-2023@1.en.yaml'].map((name) => readFile(join(TABLES, name), 'utf8')),
    );
    await writeFile(file, change(table ?? ''));
    await writeFile(file.replace(/\.yaml$/, '.en.yaml'), texts ?? '');
    return file;
  }

  it.each([
    'vhf-cdc-2023',
    'ebola-cdc-2014',
    'ebola-ecdc-2015',
    'mers-cdc-2019',
    'sars-cov-2-cdc-2020',
    'mpox-phe-2018',
    'vhf-uk-acdp',
    'unidentified-vhf',
  ])('proves %s within a second: no gap, no collision, no dead row', async (table) => {
    const { code, stdout, stderr } = await innerglove(['check', '--table', table]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const check = json<{ nodes: number; combinations: string; proofMilliseconds: number }>(stdout);
    expect(check).toMatchObject({ table, gaps: [], gapCombinations: '0', collisions: [], deadRules: [] });
    expect(check.combinations).toMatch(/^[1-9]\d*$/);
    expect(check.nodes).toBeGreaterThan(0);
    expect(check.proofMilliseconds).toBeLessThan(1000);
  });

  it('finds a gap that was made, names the fewest facts that show it, and ends with 1', async () => {
    // The last row is "none of the above"; held to one case it leaves the rest open.
    const file = await altered((yaml) => yaml.replace(/when: \{\}/, "when: { touchedPatient: 'no' }"));
    const { code, stdout, stderr } = await innerglove(['check', '--file', file]);
    expect(code).toBe(1);
    const { gaps, gapCombinations } = json<{ gaps: { facts: Record<string, string> }[]; gapCombinations: string }>(
      stdout,
    );
    expect(Number(gapCombinations)).toBeGreaterThan(0);
    expect(gaps[0]?.facts).toMatchObject({ touchedPatient: 'yes', recommendedPpe: 'yes' });
    expect(json(stderr)).toMatchObject({
      type: '/problems/table-defect',
      detail: expect.stringContaining(gapCombinations),
    });
  });

  it('finds overlapping rows where only one may hold', async () => {
    const file = await altered((yaml) => yaml.replace('hitPolicy: first', 'hitPolicy: unique'));
    const { code, stdout } = await innerglove(['check', '--file', file]);
    expect(code).toBe(1);
    expect(json<{ collisions: { rules: string[] }[] }>(stdout).collisions.map(({ rules }) => rules)).toContainEqual([
      'V1',
      'V4',
    ]);
  });

  it('finds a row that can never be reached', async () => {
    const file = await altered((yaml) =>
      yaml.replace(
        "{ touchedPatient: 'yes', recommendedPpe: 'no' }",
        "{ percutaneous: 'yes', bodyFluid: 'yes', touchedPatient: 'yes' }",
      ),
    );
    const { code, stdout } = await innerglove(['check', '--file', file]);
    expect(code).toBe(0);
    expect(json(stdout)).toMatchObject({ deadRules: [{ rule: 'V2', why: 'always-outranked' }] });
  });

  it('lists the facts of a table with their values, so that a stranger can write a facts file', async () => {
    const { code, stdout } = await innerglove(['check', '--table', 'sars-cov-2-cdc-2020', '--inputs']);
    expect(code).toBe(0);
    const { inputs } = json<Inputs>(stdout);
    expect(inputs.map(({ fact }) => fact).slice(0, 2)).toEqual(['sourceMasked', 'maskWorn']);
    expect(inputs.every(({ question }) => question.length > 0)).toBe(true);
    expect(inputs.find(({ fact }) => fact === 'maskWorn')).toMatchObject({
      kind: 'choice',
      values: ['respirator', 'facemask', 'none'],
    });
    expect(inputs.find(({ fact }) => fact === 'contactMinutes')).toMatchObject({
      kind: 'quantity',
      unit: 'min',
      min: '0',
      bands: ['under 15 min', '15 min or more'],
    });

    const facts = Object.fromEntries(inputs.map(({ fact, values, min }) => [fact, values?.[0] ?? min]));
    const assessed = await innerglove(['assess', '--table', 'sars-cov-2-cdc-2020'], JSON.stringify(facts));
    expect(assessed.code).toBe(0);
    expect(json(assessed.stdout)).toMatchObject({ settled: true });
  });

  it.each([
    [['check'], 2, 'bad-usage'],
    [['check', '--table', 'vhf-cdc-2023', '--file', 'x.yaml'], 2, 'bad-usage'],
    [['check', '--table', 'nowhere'], 1, 'unknown-table'],
  ])('ends %j with exit %d', async (args, expected, code) => {
    const ended = await innerglove(args);
    expect(ended).toMatchObject({ code: expected, stdout: '' });
    expect(json(ended.stderr)).toMatchObject({ type: `/problems/${code}` });
  });

  it.each([
    ['is absent', async () => join(folder, 'absent.yaml')],
    ['names an unknown input', () => altered((yaml) => yaml.replace('{ fact: inhalation }', '{ fact: weather }'))],
    ['is no YAML', () => altered(() => 'rules: [')],
  ])('refuses a file that %s, with one problem object', async (_, make) => {
    const { code, stdout, stderr } = await innerglove(['check', '--file', await make()]);
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    const { type } = json<{ type: string }>(stderr);
    expect(type).not.toBe('/problems/unexpected');
  });
});
