/**
 * What a request that creates something is answered with. `new`: done now. `replayed`: the stored answer to the same key.
 * `already-accepted`: the permanent report id was known, so the stored incident is the answer.
 */
export interface Answer<T> {
  readonly outcome: 'new' | 'replayed' | 'already-accepted';
  readonly body: T;
}

/** A key that makes a repeat harmless: new for every form, the same for every repeat of it. */
export interface Idempotent {
  readonly idempotencyKey: string;
}

/** A second signature, given by signing in beside the first nurse. */
export interface SecondClinicianCredentials {
  readonly login: string;
  readonly password: string;
}
