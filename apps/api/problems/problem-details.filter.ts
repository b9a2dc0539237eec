import { Catch, HttpException, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { randomUUID } from 'node:crypto';
import { DomainError } from '#domain';
import { DatabaseUnavailable } from '#persistence';
import type { Log } from '#platform';
import { MalformedRequest, PreconditionRequired, type RequestFault } from './malformed-request.js';
import type { ProblemResponse } from './problem.response.js';
import { statusOf, titleOf } from './problem-status.js';

/** A connection that is lost during a commit leaves it open whether that commit was kept; the same key settles it. */
const UNKNOWN_OUTCOME =
  'What was sent may or may not have been stored. Send the same again in a moment, with the same key: it is kept once.';

interface Told {
  readonly code: string;
  readonly status: number;
  readonly detail?: string;
  readonly errors?: readonly RequestFault[];
}

/** Raised by the HTTP server before a handler runs. */
const SERVER_CODES: Readonly<Record<string, { code: string; detail: string; accepted?: string }>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: { code: 'too-large', detail: 'The body is too large.', accepted: 'at most 256 KiB' },
  FST_ERR_CTP_INVALID_MEDIA_TYPE: {
    code: 'unsupported-media-type',
    detail: 'The content type is not accepted.',
    accepted: 'Content-Type: application/json',
  },
  FST_ERR_CTP_EMPTY_JSON_BODY: { code: 'malformed', detail: 'The body is empty.', accepted: 'one JSON object' },
  FST_ERR_CTP_INVALID_JSON_BODY: {
    code: 'malformed',
    detail: 'The body is not well-formed JSON.',
    accepted: 'one JSON object',
  },
};

const NEST_CODES: Readonly<Record<number, string>> = {
  400: 'malformed',
  401: 'unauthenticated',
  403: 'forbidden',
  404: 'unknown-route',
  413: 'too-large',
  415: 'unsupported-media-type',
};

function told(error: unknown): Told | null {
  if (error instanceof MalformedRequest || error instanceof PreconditionRequired) {
    return { code: error.code, status: statusOf(error.code), detail: error.message, errors: error.faults };
  }
  if (error instanceof DomainError) {
    const { code, message, pointer, accepted } = error;
    const named =
      pointer === undefined && accepted === undefined ? undefined : [{ pointer, detail: message, accepted }];
    return { code, status: statusOf(code), detail: message, errors: named };
  }
  if (error instanceof HttpException) {
    // The framework wraps what its server raised, and the cause says it better than the status.
    if (error.cause) return told(error.cause);
    const code = NEST_CODES[error.getStatus()];
    return code === undefined ? null : { code, status: statusOf(code) };
  }
  const { code, statusCode } = error as { code?: unknown; statusCode?: unknown };
  const known = typeof code === 'string' ? SERVER_CODES[code] : undefined;
  if (known) {
    const { detail, accepted } = known;
    return { code: known.code, status: statusOf(known.code), detail, errors: [{ detail, accepted }] };
  }
  // JSON that the parser refuses (also a `__proto__` key) carries a status but no code of the server's own.
  if (statusCode === 400 || error instanceof URIError) {
    return { code: 'malformed', status: 400, detail: 'The request could not be read.' };
  }
  if (typeof statusCode === 'number' && statusCode > 400 && statusCode < 500) {
    const named = NEST_CODES[statusCode] ?? 'malformed';
    return { code: named, status: statusOf(named) };
  }
  if (error instanceof DatabaseUnavailable) {
    return { code: 'unavailable', status: 503, detail: UNKNOWN_OUTCOME };
  }
  return null;
}

/** The only writer of error bodies. A fault of ours tells the client an id and nothing else. */
@Catch()
export class ProblemDetailsFilter implements ExceptionFilter {
  constructor(private readonly log: Log) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const reply = host.switchToHttp().getResponse<FastifyReply>();
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    const id = randomUUID();
    const known = told(error);
    const { code, status, detail, errors } = known ?? {
      code: 'internal',
      status: 500,
      detail: undefined,
      errors: undefined,
    };
    if (status >= 500) {
      this.log.error('request-failed', {
        requestId: id,
        method: request.method,
        route: request.routeOptions.url,
        status,
        error,
      });
    }
    const body: ProblemResponse = {
      type: `/problems/${code}`,
      title: titleOf(code),
      status,
      ...(detail === undefined ? {} : { detail }),
      instance: `urn:uuid:${id}`,
      ...(errors === undefined ? {} : { errors }),
    };
    if (status === 503) void reply.header('Retry-After', '2');
    void reply
      .status(status)
      .header('Cache-Control', 'no-store')
      .header('Content-Type', 'application/problem+json; charset=utf-8')
      .send(JSON.stringify(body));
  }
}
