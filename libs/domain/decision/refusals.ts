import { DomainError, pointerStep } from '../refusal.js';

/** The table itself is ill-formed or too large to be proven; the pointer leads into the table. */
export class TableDefect extends DomainError {
  constructor(table: string, message: string, pointer?: string, accepted?: string) {
    super('table-defect', `Table ${table}: ${message}`, { pointer, accepted });
  }
}

/** A fact that the vocabulary does not hold. */
export class UnknownFact extends DomainError {
  constructor(vocabulary: string, fact: string, facts: readonly string[]) {
    super('unknown-fact', `The vocabulary ${vocabulary} has no such fact.`, {
      pointer: pointerStep(fact),
      accepted: `one of: ${facts.join(', ')}`,
    });
  }
}

/** An answer that its fact does not take. The answer is not repeated: it could be about somebody's health. */
export class UnacceptableAnswer extends DomainError {
  constructor(pointer: string, accepted: string) {
    super('unacceptable-answer', 'This fact does not take such an answer.', { pointer, accepted });
  }
}

/** Answers that cannot be true together; at least one of the named facts was recorded wrongly. */
export class ImpossibleCombination extends DomainError {
  readonly facts: readonly string[];

  constructor(facts: readonly string[], why: string, pointer: string) {
    super('impossible-combination', `The answers to ${listed(facts)} cannot be true together: ${why}`, {
      pointer,
      accepted: `another answer to ${listed(facts, 'or')}, or "unknown"`,
    });
    this.facts = facts;
  }
}

function listed(names: readonly string[], last = 'and'): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} ${last} ${names[names.length - 1] ?? ''}`;
}
