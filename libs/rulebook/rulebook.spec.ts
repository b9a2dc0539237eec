import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { assess, DomainError } from '#domain';
import { loadRulebook, plannedCategory } from './index.js';

const DATA = fileURLToPath(new URL('./data', import.meta.url));
const book = loadRulebook();

function refusalOf(act: () => unknown): DomainError {
  try {
    act();
  } catch (error) {
    if (error instanceof DomainError) return error;
    throw error;
  }
  throw new Error('Nothing was refused.');
}

describe('the rulebook', () => {
  it('finds a table by its id alone or with a version, and the compiled table carries a SHA-256', () => {
    expect(book.table('vhf-cdc-2023')).toBe(book.table('vhf-cdc-2023@1'));
    expect(book.table('vhf-cdc-2023').hash).toMatch(/^[0-9a-f]{64}$/);
  });

  it('refuses an unknown table, profile or ensemble and lists what there is', () => {
    expect(refusalOf(() => book.table('no-such-table'))).toMatchObject({
      code: 'unknown-table',
      accepted: expect.stringContaining('ebola-cdc-2014@1'),
    });
    expect(refusalOf(() => book.table('vhf-cdc-2023@99')).code).toBe('unknown-table');
    expect(refusalOf(() => book.profile('ebola/nobody'))).toMatchObject({
      code: 'unknown-profile',
      accepted: expect.stringContaining('ebola/cdc@2014'),
    });
    expect(refusalOf(() => book.ensemble('no-such-set')).code).toBe('unknown-ensemble');
  });

  it('takes the newest profile of an authority that is not superseded, and keeps the older ones readable', () => {
    expect(book.profile('ebola/cdc').id).toBe('ebola/cdc@2023');
    expect(book.profile('ebola/cdc@2014').supersededBy).toBe('ebola/cdc@2023');
    expect(book.profile('avian-influenza/ukhsa').id).toBe('avian-influenza/ukhsa@2026');
  });

  it('has a question in plain words, with help, for every fact', () => {
    expect(Object.keys(book.questions).sort()).toEqual(Object.keys(book.vocabulary.facts).sort());
    for (const { question, help } of Object.values(book.questions)) {
      expect(question).toMatch(/\?$/);
      expect(help).toMatch(/[.”]$/);
    }
  });

  it('has at least one profile for every agent, and a default table for every agent at any certainty', () => {
    for (const { code } of book.agents()) {
      expect(book.profiles().some(({ agent }) => agent === code)).toBe(true);
      expect(book.defaultGoverning.some(({ agent, certainty }) => agent === code && certainty === 'any')).toBe(true);
    }
  });

  it('plans by a category only where the profile plans for that very table', () => {
    const profile = book.profile('nipah/india@2026');
    const result = assess(book.table('unidentified-vhf'), { percutaneous: 'yes', bodyFluid: 'yes' });
    expect(plannedCategory(profile, result)).toBeUndefined();
    expect(plannedCategory(book.profile('unidentified-vhf/cdc'), result)).toBe('high-risk');
    expect(
      plannedCategory(book.profile('mers/cdc'), { table: 'mers-cdc-2019', categoryId: 'not-classified' }),
    ).toBeUndefined();
  });

  it('says how a source was read, and gives an address only to the issuer’s own page', () => {
    const [source] = book.table('ebola-cdc-2014').table.rules.find(({ id }) => id === 'E1')?.sources ?? [];
    expect(source).toMatchObject({ body: 'CDC', year: '28 May 2015', section: 'read on a mirror' });
    expect(source?.address).toMatch(/^https:\/\/www\.cdc\.gov\//);
  });
});

describe('a defect in a data file', () => {
  let folder: string;
  const change = (file: string, from: string, to: string) => {
    const path = join(folder, file);
    const text = readFileSync(path, 'utf8');
    expect(text).toContain(from);
    writeFileSync(path, text.replace(from, to));
  };

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'rulebook-'));
    cpSync(DATA, folder, { recursive: true });
  });
  afterEach(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  const VHF = 'tables/cdc/vhf-cdc-2023@1.yaml';
  it.each([
    ['a grade that does not exist', VHF, 'grade: read', 'grade: rumoured', '/actions/monitor-window/grade'],
    ['an unknown key', VHF, 'hitPolicy: first', 'hitPolicy: first\nmood: calm', ''],
    ['a source that is not in the register', VHF, '[cdc-vhf-organizations]', '[nobody]', '/rules/0/sources/0'],
    ['a fact that is no input', VHF, '{ activity: household }', '{ weather: household }', '/rules/4/when/2/weather'],
    ['a value that the fact lacks', VHF, 'activity: household', 'activity: palace', '/rules/4/when/2/activity'],
    ['a category that does not exist', VHF, 'category: high-risk', 'category: doom', '/rules/0/then/category'],
    ['a version that its texts do not have', VHF, "version: '1'", "version: '2'", '/table'],
    ['a file that is named otherwise', 'profiles/cdc/mers@2019.yaml', 'id: mers/cdc@2019', 'id: mers/cdc@2020', '/id'],
    [
      'a number where a decimal must be quoted',
      'tables/phe/mpox-phe-2018@1.yaml',
      "at: '1'",
      'at: 1',
      '/inputs/9/cuts/0/at',
    ],
    [
      'a condition on no declared cut',
      'tables/phe/mpox-phe-2018@1.yaml',
      "'<=': '1'",
      "'<=': '2'",
      '/rules/2/when/distanceMetres/<=',
    ],
    ['a rule without words', 'tables/cdc/vhf-cdc-2023@1.en.yaml', '  V6: None', '  V9: None', '/rules/6'],
    ['a question for no fact', 'facts/v1.en.yaml', '  clothingOnly:', '  shoesOnly:', '/questions'],
    ['a label for no value', 'facts/v1.en.yaml', 'none: Nothing', 'nil: Nothing', '/questions/maskWorn/values'],
    [
      'a profile that plans for another set of categories',
      'profiles/cdc/mers@2019.yaml',
      '  low:',
      '  lowish:',
      '/categories',
    ],
    [
      'a threshold that is no decimal',
      'profiles/cdc/ebola@2014.yaml',
      "value: '38.0'",
      "value: '38,0'",
      '/threshold/value',
    ],
    ['a symptom without words', 'profiles/cdc/ebola@2014.yaml', '[severe-headache', '[hiccups', '/symptoms/0/codes/0'],
    [
      'an agent nobody listed',
      'governing.yaml',
      '- { agent: ebola, certainty: any',
      '- { agent: ebola, certainty: confirmed',
      '/rules',
    ],
    [
      'a fallback that is not ready',
      'governing.yaml',
      'fallback: { table: unidentified-vhf',
      'fallback: { table: vhf-uk-acdp',
      '/fallback/table',
    ],
    [
      'a layer that never comes off',
      'ensembles/full-barrier@1.yaml',
      'layers: [hood] }\n  - { id: take-off-footwear',
      'layers: [] }\n  - { id: take-off-footwear',
      '/removal',
    ],
    [
      'a route first aid does not know',
      'first-aid/steps.yaml',
      'routes: [percutaneous]',
      'routes: [telepathy]',
      '/steps/7/routes/0',
    ],
    ['YAML that does not parse', VHF, 'id: vhf-cdc-2023', 'id: [vhf-cdc-2023', ''],
  ])('%s is refused, naming the file and the place', (_, file, from, to, pointer) => {
    change(file, from, to);
    const refusal = refusalOf(() => loadRulebook(folder));
    expect(refusal).toMatchObject({ code: 'rulebook-defect', pointer });
    expect(refusal.message).toContain(file.replace('.en.yaml', '').replace('.yaml', ''));
  });

  it('is not found in the files as they ship', () => {
    expect(
      loadRulebook(folder)
        .tables()
        .map(({ hash }) => hash),
    ).toEqual(book.tables().map(({ hash }) => hash));
  });

  it('in words alone changes no hash; in a condition it changes that table’s hash only', () => {
    change('tables/cdc/vhf-cdc-2023@1.en.yaml', 'V3: Care was given', 'V3: Nursing was given');
    expect(loadRulebook(folder).table('vhf-cdc-2023').hash).toBe(book.table('vhf-cdc-2023').hash);
    change(VHF, "{ activity: care, recommendedPpe: 'no' }", "{ activity: in-room, recommendedPpe: 'no' }");
    const changed = loadRulebook(folder);
    expect(changed.table('vhf-cdc-2023').hash).not.toBe(book.table('vhf-cdc-2023').hash);
    expect(changed.table('unidentified-vhf').hash).toBe(book.table('unidentified-vhf').hash);
  });

  it('does not depend on the order or the form in which YAML was written', () => {
    change(
      VHF,
      "{ touchedPatient: 'yes', recommendedPpe: 'no' }",
      '{ "recommendedPpe": "no", "touchedPatient": "yes" }',
    );
    expect(loadRulebook(folder).table('vhf-cdc-2023').hash).toBe(book.table('vhf-cdc-2023').hash);
  });
});

describe('a table of one’s own', () => {
  const read = (text: string) => {
    const folder = mkdtempSync(join(tmpdir(), 'table-'));
    const path = join(folder, 'draft.yaml');
    writeFileSync(path, text);
    try {
      return book.readTable(path);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  };
  const DRAFT = `
id: draft
version: '1'
authority: Somebody
title: A draft
validFrom: '2026-01-01'
vocabulary: facts/v1
hitPolicy: unique
adjustmentsAdd: false
inputs: [{ fact: ppeBreach }]
categories: [{ id: low, words: Low, level: 1, actions: [] }]
actions: {}
impossible: []
rules:
  - id: one
    when: { ppeBreach: 'yes' }
    then: { category: low }
    words: A breach.
    grade: remembered
    sources: [{ body: Somebody, title: A draft, year: '2026' }]
adjustments: []
`;

  it('is read from one file with its words in it, and compiled as ours are', () => {
    expect(assess(read(DRAFT), { ppeBreach: 'yes' })).toMatchObject({ category: 'Low', rule: 'one', settled: true });
  });

  it('is refused without words, and when the file is not there', () => {
    expect(refusalOf(() => read(DRAFT.replace('    words: A breach.\n', ''))).pointer).toBe('/rules/0');
    expect(refusalOf(() => book.readTable('/no/such/file.yaml')).code).toBe('rulebook-defect');
  });
});
