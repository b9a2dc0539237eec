import type { Replay, ReplayStore } from '#application';
import { IdempotencyReplayEntity } from '../entities/idempotency-replay.entity.js';
import { translateFailure } from '../failures.js';
import type { Scope } from '../unit-of-work/scope.js';

export class PostgresReplayStore implements ReplayStore {
  constructor(private readonly scope: Scope) {}

  /** Of several requests with one key the first goes on, and the others wait here for what it will have stored. */
  async find(principal: string, route: string, key: string): Promise<Replay | null> {
    const name = JSON.stringify([this.scope.siteId, principal, route, key]);
    await this.scope.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [name]);
    const found = await this.scope
      .repository(IdempotencyReplayEntity)
      .findOneBy({ siteId: this.scope.siteId, principal, route, key });
    if (found === null) return null;
    const { fingerprint, status, body, etag } = found;
    return { principal, route, key, fingerprint, status, body, etag };
  }

  async insert({ body, ...replay }: Replay): Promise<void> {
    try {
      await this.scope.insert(IdempotencyReplayEntity, {
        siteId: this.scope.siteId,
        ...replay,
        body: body as object,
      });
    } catch (error) {
      throw translateFailure(error);
    }
  }
}
