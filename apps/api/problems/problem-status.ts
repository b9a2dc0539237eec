/**
 * The one place where a refusal's code becomes an HTTP status. A code that is not listed is a rule that refused a
 * well-formed request: 422.
 */
const STATUS: Readonly<Record<string, number>> = {
  malformed: 400,
  unauthenticated: 401,
  'sign-in-refused': 401,
  forbidden: 403,
  'setup-refused': 403,
  'cross-site': 403,
  'own-case': 403,
  'not-found': 404,
  'unknown-route': 404,
  conflict: 409,
  'in-progress': 409,
  'stale-version': 412,
  'too-large': 413,
  'unsupported-media-type': 415,
  'precondition-required': 428,
  'too-many-requests': 429,
  unavailable: 503,
};

export const RULE_REFUSED = 422;

export function statusOf(code: string): number {
  return STATUS[code] ?? RULE_REFUSED;
}

/** The short title of a problem type; the same for every occurrence, as RFC 9457 asks. */
const TITLES: Readonly<Record<string, string>> = {
  malformed: 'The request is malformed',
  unauthenticated: 'Sign in first',
  'sign-in-refused': 'The sign-in was refused',
  forbidden: 'Not permitted',
  'own-case': 'Nobody decides their own case',
  'cross-site': 'Not from this service’s own pages',
  'not-found': 'Not found',
  'unknown-route': 'There is nothing at this address',
  conflict: 'In conflict with what is stored',
  'in-progress': 'The same request is still being worked on',
  'stale-version': 'Changed since it was read',
  'too-large': 'Too large',
  'unsupported-media-type': 'Only JSON is accepted',
  'precondition-required': 'If-Match is required',
  'too-many-requests': 'Too many attempts',
  unavailable: 'Not available for the moment',
  'needs-confirmation': 'Looks implausible: confirm to keep it',
  'idempotency-key-reused': 'The key was used with another body',
  internal: 'Something went wrong on our side',
};

export function titleOf(code: string): string {
  return TITLES[code] ?? 'Refused';
}
