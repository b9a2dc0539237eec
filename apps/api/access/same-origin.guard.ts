import { Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { CrossSiteRequest } from '../problems/malformed-request.js';

const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS']);

function hostOf(origin: string): string | null {
  try {
    return new URL(origin).host;
  } catch {
    return null;
  }
}

/**
 * Whether a request could have been sent by somebody else's page. Browsers say so themselves (Fetch Metadata, and `Origin`
 * on every unsafe method); a client that is not a browser sends neither and carries no ambient cookie.
 */
export function comesFromElsewhere(
  headers: Readonly<Record<string, string | string[] | undefined>>,
  host: string,
): boolean {
  const site = headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return true;
  const origin = headers['origin'];
  return typeof origin === 'string' && hostOf(origin) !== host;
}

@Injectable()
export class SameOriginGuard implements CanActivate {
  canActivate(context: ExecutionContext): boolean {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (SAFE_METHODS.has(request.method)) return true;
    if (comesFromElsewhere(request.headers, request.host)) throw new CrossSiteRequest();
    return true;
  }
}
