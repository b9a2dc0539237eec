import { createHash } from 'node:crypto';
import canonicalize from 'canonicalize';
import type { DecisionTable } from '#domain';

/** SHA-256, hexadecimal, over the RFC 8785 form of a value. */
export function canonicalHash(value: unknown): string {
  const form = canonicalize(value);
  if (form === undefined) throw new TypeError('Only JSON values have a canonical form.');
  return createHash('sha256').update(form, 'utf8').digest('hex');
}

/**
 * The hash by which a stored decision names its table: everything that decides an outcome, and nothing that only words it.
 * The issuer's category words belong to the outcome; ids are in it because explanations and stored decisions name them.
 */
export function hashTable(table: DecisionTable): string {
  return canonicalHash({
    vocabulary: table.vocabulary,
    inputs: table.inputs,
    impossible: table.impossible.map(({ when }) => when),
    rules: table.rules.map(({ id, when, then }) => ({ id, when, then })),
    categories: table.categories,
    adjustments: table.adjustments.map(({ id, appliesTo, when, raise }) => ({ id, appliesTo, when, raise })),
    policy: { hitPolicy: table.hitPolicy, adjustmentsAdd: table.adjustmentsAdd },
  });
}

/** What the statements of a table rest on, and which of its actions are said before anybody has signed. Apart from the table's hash, since a row that is looked up decides as before. */
export function hashEvidence(table: DecisionTable): string {
  return canonicalHash({
    rules: table.rules.map(({ id, row, grade, sources }) => ({ id, row: row ?? null, grade, sources })),
    adjustments: table.adjustments.map(({ id, grade, sources }) => ({ id, grade, sources })),
    actions: Object.entries(table.actions).map(([code, { atOnce = false, grade, sources }]) => ({
      code,
      atOnce,
      grade,
      sources,
    })),
  });
}

/** The words beside a table, in the locale that was read. */
export function hashTexts(table: DecisionTable): string {
  return canonicalHash({
    rules: table.rules.map(({ id, words }) => [id, words]),
    adjustments: table.adjustments.map(({ id, words }) => [id, words]),
    actions: Object.entries(table.actions).map(([code, { words }]) => [code, words]),
    impossible: table.impossible.map(({ why }) => why),
    cautions: table.cautions,
  });
}
