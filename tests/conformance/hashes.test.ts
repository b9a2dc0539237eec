import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import { ROUTES, type RouteFacts } from '#domain';
import { canonicalHash, hashEvidence, hashTable, hashTexts } from '#rulebook';
import { book } from './published-rows.js';

/** Kept beside this test. A change in it is what a reviewer reads: nothing published moves without a line here. */
const PINNED: unknown = JSON.parse(readFileSync(new URL('./hashes.json', import.meta.url), 'utf8'));

/** What sentences call a fact may be reworded freely; what it takes may not. */
const { version, facts } = book.vocabulary;

const found = {
  vocabulary: canonicalHash({ version, facts }),
  tables: Object.fromEntries(
    book
      .tables()
      .map(({ table, hash }) => [
        `${table.id}@${table.version}`,
        { hash, evidence: hashEvidence(table), texts: hashTexts(table) },
      ]),
  ),
  profiles: Object.fromEntries(book.profiles().map((profile) => [profile.id, canonicalHash(profile)])),
  firstAid: canonicalHash(book.firstAid(Object.fromEntries(ROUTES.map((route) => [route, 'yes'])) as RouteFacts)),
  governing: canonicalHash([book.fallback, ...book.defaultGoverning]),
  ensembles: Object.fromEntries(book.ensembles().map((one) => [`${one.id}@${one.version}`, canonicalHash(one)])),
};

describe('what is published', () => {
  it('is what was pinned: an edit is a new version, or a change that somebody wanted and pinned', () => {
    expect(found).toEqual(PINNED);
  });

  it('has no two tables of one hash', () => {
    const hashes = book.tables().map(({ hash }) => hash);
    expect(new Set(hashes).size).toBe(hashes.length);
  });
});

describe('the hash of a table', () => {
  const { table } = book.table('sars-cov-2-cdc-2020');
  const [first, ...others] = table.rules;
  if (!first) throw new Error('The table has no rules.');

  it.each([
    ['a condition', { ...table, rules: [{ ...first, when: {} }, ...others] }],
    ['an outcome', { ...table, rules: [{ ...first, then: { category: 'low' } }, ...others] }],
    ['the order of rules', { ...table, rules: [...others, first] }],
    [
      'a cut',
      {
        ...table,
        inputs: table.inputs.map((input) =>
          input.cuts ? { ...input, cuts: [{ at: '3', operator: '>' as const }] } : input,
        ),
      },
    ],
    ['an impossible combination', { ...table, impossible: [{ when: { sourceMasked: 'yes' }, why: 'it cannot be' }] }],
    [
      'a category’s words',
      { ...table, categories: table.categories.map((one) => ({ ...one, words: `${one.words}!` })) },
    ],
    ['an adjustment', { ...table, adjustments: table.adjustments.slice(1) }],
    ['the hit policy', { ...table, hitPolicy: 'unique' as const }],
    ['whether adjustments add', { ...table, adjustmentsAdd: true }],
  ])('changes with %s', (_, changed) => {
    expect(hashTable(changed)).not.toBe(hashTable(table));
  });

  it('stays with the words, the grades and the sources, which have hashes of their own', () => {
    const reworded = { ...table, cautions: [], rules: [{ ...first, words: 'Said otherwise.' }, ...others] };
    expect(hashTable(reworded)).toBe(hashTable(table));
    expect(hashTexts(reworded)).not.toBe(hashTexts(table));
    const promoted = { ...table, rules: [{ ...first, grade: 'read' as const }, ...others] };
    expect(hashTable(promoted)).toBe(hashTable(table));
    expect(hashEvidence(promoted)).not.toBe(hashEvidence(table));
  });
});
