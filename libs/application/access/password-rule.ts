import { UnacceptableEntry } from '../refusals.js';

/** OWASP ASVS 5.0, 6.2.1, asks for 8 and advises 15 as long as there is no second factor. */
const SHORTEST = 15;
/** Enough for any pass phrase; it bounds the work of hashing. */
const LONGEST = 256;

/** Length only: rules of composition and forced changes make passwords worse (ASVS 5.0, 6.2.5 and 6.2.10). */
export function requirePassword(password: string, pointer: string): void {
  const { length } = [...password];
  if (length >= SHORTEST && length <= LONGEST) return;
  throw new UnacceptableEntry('This password has not the length that is accepted.', {
    pointer,
    accepted: `${SHORTEST} to ${LONGEST} characters of any kind; a sentence is easiest to keep`,
  });
}
