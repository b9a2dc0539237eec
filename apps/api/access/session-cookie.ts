import type { FastifyReply, FastifyRequest } from 'fastify';
import '@fastify/cookie';

/** The prefix makes a browser refuse the cookie unless it is Secure, host-only and for the whole path (RFC 6265bis). */
export const SESSION_COOKIE = '__Host-innerglove';

const ATTRIBUTES = { path: '/', httpOnly: true, secure: true, sameSite: 'strict' } as const;

export function sessionTokenOf(request: FastifyRequest): string | null {
  return request.cookies[SESSION_COOKIE] ?? null;
}

export function setSessionToken(reply: FastifyReply, token: string): void {
  void reply.setCookie(SESSION_COOKIE, token, ATTRIBUTES);
}

export function clearSessionToken(reply: FastifyReply): void {
  void reply.clearCookie(SESSION_COOKIE, ATTRIBUTES);
}
