import { createParamDecorator, applyDecorators, type ExecutionContext } from '@nestjs/common';
import { ApiHeader } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { MalformedRequest, PreconditionRequired } from '../problems/malformed-request.js';

/** The revision that a change is based on. */
export function readIfMatch(header: string | undefined): number {
  if (header === undefined) throw new PreconditionRequired();
  const [, revision] = /^"([1-9][0-9]{0,8})"$/.exec(header.trim()) ?? [];
  if (revision) return Number(revision);
  throw new MalformedRequest('If-Match does not name one version.', [
    { parameter: 'If-Match', detail: 'The header has another form.', accepted: 'one strong ETag, such as "3"' },
  ]);
}

export const IfMatch = createParamDecorator((_: unknown, context: ExecutionContext) =>
  readIfMatch(context.switchToHttp().getRequest<FastifyRequest>().headers['if-match']),
);

export const NeedsIfMatch = () =>
  applyDecorators(
    ApiHeader({
      name: 'If-Match',
      required: true,
      description: 'The ETag of the incident as it was read.',
      schema: { type: 'string', example: '"3"' },
    }),
  );

export function setRevision(reply: FastifyReply, revision: number): void {
  void reply.header('ETag', `"${revision}"`);
}
