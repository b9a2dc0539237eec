import { DomainError } from '#domain';
import { AlreadyStored } from '#application';

/**
 * What the database refused, without what was in it: a driver's error carries statement, parameters and the values of a
 * violated key, and errors reach logs.
 */
export class DatabaseRefusal extends Error {
  /** For the log, which leaves messages out. */
  readonly code: string;

  constructor(
    readonly sqlState: string,
    readonly constraint: string | null,
    readonly table: string | null,
  ) {
    super(`The database refused (${[sqlState, table, constraint].filter(Boolean).join(', ')}).`);
    this.name = 'DatabaseRefusal';
    this.code = [sqlState, table, constraint].filter(Boolean).join(' ');
  }
}

/** The database cannot be reached, or is just coming back. What was sent and not answered may or may not be stored. */
export class DatabaseUnavailable extends Error {
  constructor(readonly reason: string) {
    super(`The database cannot be reached (${reason}).`);
    this.name = 'DatabaseUnavailable';
  }
}

/** Two transactions wanted the same at once; run again, either succeeds. */
const AGAIN = new Set(['40001', '40P01']);
/** Entered by whoever names it first: run again, the second finds the row of the first. */
const FIRST_NAMED = new Set(['source_pseudonym_key']);
/** Server starting, stopping, crashed or full; class 08 is the connection itself. */
const AWAY = new Set(['57P01', '57P02', '57P03', '53300', 'ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT']);
/** What was waited for took longer than the connection's lock timeout. */
const LOCK_NOT_AVAILABLE = '55P03';
const RESENT = new Set(['report_receipt_pkey', 'incident_report_key', 'idempotency_replay_pkey']);

interface DriverError {
  readonly code?: string;
  readonly constraint?: string;
  readonly table?: string;
  readonly message?: string;
  readonly driverError?: DriverError;
}

const driverErrorOf = (error: unknown): DriverError | null => {
  if (!(error instanceof Error)) return null;
  const { driverError } = error as DriverError;
  return driverError ?? (error as DriverError);
};

export function isWorthAnotherTry(error: unknown): boolean {
  const { code = '', constraint = '' } = driverErrorOf(error) ?? {};
  return AGAIN.has(code) || (code === '23505' && FIRST_NAMED.has(constraint));
}

/** Turns whatever the driver threw into one of ours; everything else is left as it is. */
export function translateFailure(error: unknown): unknown {
  if (error instanceof DomainError || error instanceof AlreadyStored) return error;
  const driver = driverErrorOf(error);
  if (driver === null) return error;
  const { code = '', constraint = null, table = null, message = '' } = driver;
  if (
    AWAY.has(code) ||
    code.startsWith('08') ||
    /connection (terminated|timeout)|timeout exceeded when trying to connect/i.test(message)
  ) {
    return new DatabaseUnavailable(code || 'connection lost');
  }
  if (!/^[0-9A-Z]{5}$/.test(code)) return error;
  if (code === '23505' && constraint !== null && RESENT.has(constraint)) return new AlreadyStored();
  if (code === '23505') {
    return new DomainError('conflict', 'This exists already, or was entered by somebody else in the same moment.', {
      accepted: 'the same request again after reading what is there now',
    });
  }
  if (code === LOCK_NOT_AVAILABLE) {
    return new DomainError('in-progress', 'Something else is being done to the same at this moment.', {
      accepted: 'the same request again in a moment',
    });
  }
  return new DatabaseRefusal(code, constraint, table);
}
