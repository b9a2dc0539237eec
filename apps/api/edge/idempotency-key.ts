import { createParamDecorator, applyDecorators, type ExecutionContext } from '@nestjs/common';
import { ApiHeader } from '@nestjs/swagger';
import type { FastifyRequest } from 'fastify';
import { MalformedRequest } from '../problems/malformed-request.js';

/** A structured-field string, quoted as draft-ietf-httpapi-idempotency-key-header-07 asks; the bare form is taken too. */
const KEY = /^"?([A-Za-z0-9_.:-]{8,128})"?$/;

export function readIdempotencyKey(header: string | string[] | undefined): string {
  const [, key] = (typeof header === 'string' ? KEY.exec(header) : null) ?? [];
  if (key) return key;
  throw new MalformedRequest('This request creates something, so it needs a key that makes a repeat harmless.', [
    {
      parameter: 'Idempotency-Key',
      detail: header === undefined ? 'The header is missing.' : 'The header has another form.',
      accepted: '8 to 128 letters, digits or _ . : - such as a new UUID for every form that is sent',
    },
  ]);
}

export const IdempotencyKey = createParamDecorator((_: unknown, context: ExecutionContext) =>
  readIdempotencyKey(context.switchToHttp().getRequest<FastifyRequest>().headers['idempotency-key']),
);

/** Documents the header; the parameter decorator reads it. */
export const NeedsIdempotencyKey = () =>
  applyDecorators(
    ApiHeader({
      name: 'Idempotency-Key',
      required: true,
      description: 'New for every form, the same for every repeat of it.',
      schema: { type: 'string' },
    }),
  );
