/** A problem detail as in RFC 9457, without a status: the command line has exit codes instead. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly detail: string;
  readonly errors?: readonly { readonly pointer?: string; readonly detail: string; readonly accepted?: string }[];
}

/** What the command line itself refuses, in the shape of a domain refusal. */
export class CommandRefused extends Error {
  constructor(
    readonly code: string,
    message: string,
    readonly accepted?: string,
    readonly pointer?: string,
  ) {
    super(message);
  }
}

/** The command could not be understood: exit 2. */
export class BadUsage extends CommandRefused {
  constructor(message: string, accepted?: string) {
    super('bad-usage', message, accepted);
  }
}

interface Refusal extends Error {
  readonly code: string;
  readonly pointer?: string;
  readonly accepted?: string;
}

/**
 * Refusals are known by their kebab-case code and not by their class: the class would pull the whole domain into the
 * start of every command. Node's own codes are in capitals.
 */
export function isRefusal(error: unknown): error is Refusal {
  return error instanceof Error && /^[a-z][a-z0-9-]*$/.test(String((error as { code?: unknown }).code ?? ''));
}

/**
 * The problem object for anything thrown. `within` is the place of the refused element in a larger input, as a JSON
 * Pointer. Of a fault in the program only the place is told: its message could repeat what was handed in.
 */
export function problemOf(error: unknown, within = ''): Problem {
  if (!isRefusal(error)) {
    const place = error instanceof Error ? error.stack?.split('\n').find((line) => /^\s+at /.test(line)) : undefined;
    const name = error instanceof Error ? error.name : typeof error;
    return {
      type: '/problems/unexpected',
      title: 'Unexpected',
      detail: `This is a fault of the program: ${name}${place ? ` ${place.trim()}` : ''}.`,
    };
  }
  const pointer = error.pointer === undefined ? (within === '' ? undefined : within) : within + error.pointer;
  return {
    type: `/problems/${error.code}`,
    title: titleOf(error.code),
    detail: error.message,
    ...(pointer === undefined && error.accepted === undefined
      ? {}
      : {
          errors: [
            {
              ...(pointer === undefined ? {} : { pointer }),
              detail: error.message,
              ...(error.accepted === undefined ? {} : { accepted: error.accepted }),
            },
          ],
        }),
  };
}

function titleOf(code: string): string {
  const words = code.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}
