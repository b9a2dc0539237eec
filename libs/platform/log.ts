/** Least important first. */
export const LOG_LEVELS = ['debug', 'info', 'warn', 'error', 'silent'] as const;
export type LogLevel = (typeof LOG_LEVELS)[number];

/**
 * All that a line may carry: ids, counts, codes and times. There is no field for a name, an answer, a reading or a free
 * text, so health data has no way in.
 */
export interface LogFields {
  readonly requestId?: string;
  readonly siteId?: string;
  readonly accountId?: string;
  readonly incidentId?: string;
  readonly planId?: string;
  readonly alertId?: string;
  readonly letterId?: string;
  readonly messageId?: string;
  readonly jobId?: string;
  readonly job?: string;
  readonly role?: string;
  readonly method?: string;
  /** The pattern of the route, not the address that was asked for. */
  readonly route?: string;
  readonly status?: number;
  readonly code?: string;
  readonly milliseconds?: number;
  readonly count?: number;
  readonly skipped?: number;
  readonly failed?: number;
  readonly port?: number;
  readonly processId?: number;
  readonly signal?: string;
  readonly version?: string;
  readonly error?: unknown;
}

export interface Log {
  debug(event: string, fields?: LogFields): void;
  info(event: string, fields?: LogFields): void;
  warn(event: string, fields?: LogFields): void;
  error(event: string, fields?: LogFields): void;
}

/**
 * Kind, code and place of an error. Its message is left out, since a database's message can repeat what was entered.
 */
function describeError(error: unknown): Record<string, unknown> {
  if (!(error instanceof Error)) return { name: typeof error };
  const code = (error as { code?: unknown }).code;
  const place = (error.stack ?? '')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line.startsWith('at '))
    .slice(0, 12);
  return {
    name: error.name,
    ...(typeof code === 'string' ? { code } : {}),
    place,
    ...(error.cause === undefined ? {} : { cause: describeError(error.cause) }),
  };
}

/** Writes one JSON object a line to standard output: time in UTC, level, event, and the fields that were given. */
export function createLog(
  level: LogLevel,
  write: (line: string) => void = (line) => void process.stdout.write(line),
): Log {
  const least = LOG_LEVELS.indexOf(level);
  const at =
    (name: LogLevel) =>
    (event: string, { error, ...fields }: LogFields = {}): void => {
      if (LOG_LEVELS.indexOf(name) < least) return;
      const line = {
        time: new Date().toISOString(),
        level: name,
        event,
        ...fields,
        ...(error === undefined ? {} : { error: describeError(error) }),
      };
      write(`${JSON.stringify(line)}\n`);
    };
  return { debug: at('debug'), info: at('info'), warn: at('warn'), error: at('error') };
}
