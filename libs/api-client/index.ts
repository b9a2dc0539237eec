import createFetchClient, { type Client, type ClientOptions } from 'openapi-fetch';
import type { components, paths } from './schema.js';

export type { components, operations, paths } from './schema.js';

/** Every named shape of the contract, for example `Schemas['PlanResponse']`. */
export type Schemas = components['schemas'];
/** What a refused request is answered with (RFC 9457). */
export type Problem = Schemas['ProblemResponse'];
export type ApiClient = Client<paths>;

/** A client for the service at `baseUrl`; in a page that the service itself serves, leave it empty. */
export function createApiClient(options: ClientOptions = {}): ApiClient {
  return createFetchClient<paths>({ credentials: 'same-origin', ...options });
}

/** A new key for a new form; keep it for every repeat of that form. */
export function newIdempotencyKey(): string {
  return crypto.randomUUID();
}
