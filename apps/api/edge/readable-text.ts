import { pointerStep } from '#domain';
import type { RequestFault } from '../problems/malformed-request.js';

/** No request here nests half as deep; what does would only exhaust whoever walks it. */
const DEEPEST = 16;

/** Names that mean something to the language itself; no class of ours declares them. */
const RESERVED: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

/** Half a character, or the one that a database's text cannot hold. */
const isUnreadable = (text: string): boolean => !text.isWellFormed() || text.includes('\u0000');

/**
 * What JSON allows and nothing behind the edge can carry: half a surrogate pair, a NUL, a reserved name, endless nesting.
 * Returns the first such place, or null.
 */
export function unreadablePlace(value: unknown, pointer = '', depth = 0): RequestFault | null {
  if (typeof value === 'string') {
    if (!isUnreadable(value)) return null;
    return {
      pointer,
      detail: 'This text holds a character that cannot be kept.',
      accepted: 'Unicode text without NUL',
    };
  }
  if (typeof value !== 'object' || value === null) return null;
  if (depth === DEEPEST) return { pointer, detail: 'This is nested too deep.', accepted: `at most ${DEEPEST} levels` };
  for (const [name, inside] of Object.entries(value)) {
    if (RESERVED.has(name) || isUnreadable(name)) {
      return { pointer, detail: 'A field here has a name that cannot be used.', accepted: 'the names in the contract' };
    }
    const place = unreadablePlace(inside, pointer + pointerStep(name), depth + 1);
    if (place) return place;
  }
  return null;
}
