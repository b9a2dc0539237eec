import { DomainError } from '#domain';

/** One fault in the shape of a request. */
export interface RequestFault {
  /** JSON Pointer into the body; absent when the fault is in a header, the query or the path. */
  readonly pointer?: string;
  /** Name of the header, query or path parameter. */
  readonly parameter?: string;
  readonly detail: string;
  readonly accepted?: string;
}

/** The request cannot be read as what it claims to be. Nothing was looked up and nothing was written. */
export class MalformedRequest extends DomainError {
  readonly faults: readonly RequestFault[];

  constructor(message: string, faults: readonly RequestFault[] = []) {
    super('malformed', message);
    this.faults = faults;
  }
}

/** A change needs `If-Match`, so that nobody overwrites what they have not read (RFC 6585, section 3). */
export class PreconditionRequired extends DomainError {
  readonly faults: readonly RequestFault[] = [
    {
      parameter: 'If-Match',
      detail: 'The header is missing.',
      accepted: 'the ETag of the incident as it was read, such as "3"',
    },
  ];

  constructor() {
    super('precondition-required', 'Say which version this change is based on.');
  }
}

/** Sent from another site's page, or in a form that a page can send without asking. */
export class CrossSiteRequest extends DomainError {
  constructor() {
    super('cross-site', 'This request did not come from this service’s own pages.');
  }
}
