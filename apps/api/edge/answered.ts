import type { FastifyReply } from 'fastify';
import type { Answer } from '#application';

/** 201 for what was created now and for its replay; 200 when the permanent report id was known before. */
export function setCreated(reply: FastifyReply, { outcome }: Answer<unknown>): void {
  void reply.status(outcome === 'already-accepted' ? 200 : 201);
}
