import type { Ternary } from '../decision/table.js';

const RANK: Readonly<Record<Ternary, number>> = { no: 0, unknown: 1, yes: 2 };

/** Whether at least one holds: `unknown` beats `no` and is beaten by `yes`. */
export function anyOf(answers: readonly Ternary[]): Ternary {
  return answers.reduce<Ternary>((worst, answer) => (RANK[answer] > RANK[worst] ? answer : worst), 'no');
}

/** Whether all hold: `unknown` beats `yes` and is beaten by `no`. */
export function allOf(answers: readonly Ternary[]): Ternary {
  return answers.reduce<Ternary>((least, answer) => (RANK[answer] < RANK[least] ? answer : least), 'yes');
}

/** What is possible without having been shown. */
export function atMostUnknown(answer: Ternary): Ternary {
  return allOf([answer, 'unknown']);
}
