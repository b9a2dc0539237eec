import type { Readable, Writable } from 'node:stream';
import type { ParseArgsConfig } from 'node:util';

/** 0 done, 1 refused with a reason, 2 bad usage. */
export type ExitCode = 0 | 1 | 2;

export interface Terminal {
  readonly stdin: Readable & { readonly isTTY?: boolean };
  readonly stdout: Writable;
  readonly stderr: Writable;
}

/** The options as `parseArgs` read them; absent ones are undefined. */
export type VerbOptions = Readonly<Record<string, string | boolean | (string | boolean)[] | undefined>>;

/**
 * One thing the command line can do. A verb writes its JSON to `terminal.stdout` and throws what it refuses: a domain
 * refusal ends as exit 1, `BadUsage` as exit 2, each as one problem object on stderr.
 */
export interface Verb {
  /** One line, as in `innerglove check --table <id>`. */
  readonly usage: string;
  readonly options: NonNullable<ParseArgsConfig['options']>;
  /** Words without dashes that may follow the verb, as in `ledger verify`. None unless said. */
  readonly positionals?: boolean;
  run(options: VerbOptions, terminal: Terminal, positionals: readonly string[]): Promise<ExitCode>;
}
