/** Where a refusal points and what would have been accepted instead. */
export interface RefusalDetail {
  /** JSON Pointer (RFC 6901) into what was handed in. */
  readonly pointer?: string;
  /** What would be accepted there, in plain words. */
  readonly accepted?: string;
  readonly cause?: unknown;
}

/**
 * The root of every refusal. `code` is stable and part of the contract (`/problems/<code>`); the message may be reworded.
 * Neither ever holds health data: both reach logs and error bodies, so a message names a field and never repeats an answer.
 *
 * @example throw new DomainError('unknown-layer', 'The ensemble has no such layer.', { pointer: '/breaches/0/layer', accepted: 'one of: apron, gown' });
 */
export class DomainError extends Error {
  readonly code: string;
  readonly pointer?: string;
  readonly accepted?: string;

  constructor(code: string, message: string, detail: RefusalDetail = {}) {
    super(message, detail.cause === undefined ? undefined : { cause: detail.cause });
    this.name = new.target.name;
    this.code = code;
    this.pointer = detail.pointer;
    this.accepted = detail.accepted;
  }
}

/** One step of a JSON Pointer, escaped as RFC 6901 asks. */
export function pointerStep(name: string | number): string {
  return `/${String(name).replaceAll('~', '~0').replaceAll('/', '~1')}`;
}
