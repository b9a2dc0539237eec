import canonicalize from 'canonicalize';
import { createHash } from 'node:crypto';
import type { Answer } from './answer.js';
import { AlreadyStored, type Transaction, type UnitOfWork } from './ports/unit-of-work.js';
import { Conflict, IdempotencyKeyReused, StaleVersion } from './refusals.js';
import type { Actor } from './records/people.js';

/** SHA-256, hexadecimal, over the RFC 8785 form: the same content in another order of keys is the same request. */
export function fingerprintOf(content: unknown): string {
  return createHash('sha256')
    .update(canonicalize(content) ?? '')
    .digest('hex');
}

/** Keys belong to the account that used them: nobody can be answered with what was told to somebody else. */
export function principalOf(actor: Actor): string {
  return actor.accountId ?? actor.role;
}

/** The stored answer to this key, or null; refuses a key that stood before another content. */
export async function storedAnswer<T>(
  tx: Transaction,
  actor: Actor,
  route: string,
  key: string,
  fingerprint: string,
): Promise<T | null> {
  const replay = await tx.replays.find(principalOf(actor), route, key);
  if (replay === null) return null;
  if (replay.fingerprint !== fingerprint) throw new IdempotencyKeyReused();
  return replay.body as T;
}

export interface RepeatableRequest {
  readonly route: string;
  readonly key: string;
  /** What makes two requests the same; never a password. */
  readonly content: unknown;
}

/** A second sender of the same moment meets what the first one has just stored in one of these ways. */
function mayBeRepeat(error: unknown): boolean {
  return error instanceof AlreadyStored || error instanceof StaleVersion || error instanceof Conflict;
}

/**
 * Does something once for each key, in a transaction of its own. The answer is stored with it, so both are kept or neither
 * is. Of two senders of the same moment the slower one gets the answer of the faster.
 */
export async function once<T extends object>(
  work: UnitOfWork,
  actor: Actor,
  { route, key, content }: RepeatableRequest,
  act: (tx: Transaction) => Promise<T>,
): Promise<Answer<T>> {
  const fingerprint = fingerprintOf(content);
  const find = (tx: Transaction) => storedAnswer<T>(tx, actor, route, key, fingerprint);
  try {
    return await work.run(actor, async (tx): Promise<Answer<T>> => {
      const stored = await find(tx);
      if (stored) return { outcome: 'replayed', body: stored };
      const body = await act(tx);
      await tx.replays.insert({
        principal: principalOf(actor),
        route,
        key,
        fingerprint,
        status: 201,
        body,
        etag: null,
      });
      return { outcome: 'new', body };
    });
  } catch (error) {
    const stored = mayBeRepeat(error) ? await work.run(actor, find) : null;
    if (stored) return { outcome: 'replayed', body: stored };
    throw error;
  }
}
