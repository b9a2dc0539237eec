import { DomainError } from '#domain';

/** A data file of the rulebook that cannot be used. It names the file, and by JSON Pointer the place in it. */
export class RulebookDefect extends DomainError {
  readonly file: string;

  constructor(file: string, pointer: string, message: string, accepted?: string, cause?: unknown) {
    super('rulebook-defect', `${file}${pointer === '' ? '' : ` at ${pointer}`}: ${message}`, {
      pointer,
      accepted,
      cause,
    });
    this.file = file;
  }
}

function oneOf(names: readonly string[]): string {
  return `one of: ${names.join(', ')}`;
}

/** No table of that name, or not in that version. */
export class UnknownTable extends DomainError {
  constructor(known: readonly string[]) {
    super('unknown-table', 'There is no such table.', { pointer: '/table', accepted: oneOf(known) });
  }
}

/** No profile for that agent by that authority, or not in that version. */
export class UnknownProfile extends DomainError {
  constructor(known: readonly string[]) {
    super('unknown-profile', 'There is no such profile.', { pointer: '/profile', accepted: oneOf(known) });
  }
}

/** No ensemble of that name, or not in that version. */
export class UnknownEnsemble extends DomainError {
  constructor(known: readonly string[]) {
    super('unknown-ensemble', 'There is no such ensemble.', { pointer: '/ensembleId', accepted: oneOf(known) });
  }
}
