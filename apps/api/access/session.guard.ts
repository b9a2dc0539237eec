import { Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyRequest } from 'fastify';
import { AccountDirectory, actorOf, authorise, SessionTokens } from '#application';
import { DomainError } from '#domain';
import { ACCESS_RULE, type AccessRule } from './allows.js';
import { rememberAccount } from './current-actor.js';
import { sessionTokenOf } from './session-cookie.js';

/** The cookie is missing, or its session is unknown, too old or idle for too long. */
export class Unauthenticated extends DomainError {
  constructor() {
    super('unauthenticated', 'There is no session, or it has ended.', { accepted: 'a sign-in first' });
  }
}

/** Turns the cookie into an account and turns a role away that the route's operation does not list. */
@Injectable()
export class SessionGuard implements CanActivate {
  constructor(
    private readonly accounts: AccountDirectory,
    private readonly tokens: SessionTokens,
    private readonly reflector: Reflector,
  ) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const rule = this.reflector.getAllAndOverride<AccessRule>(ACCESS_RULE, [context.getHandler(), context.getClass()]);
    if ('open' in rule) return true;
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    const token = sessionTokenOf(request);
    const session = token ? await this.accounts.findSession(this.tokens.hash(token)) : null;
    if (!session) throw new Unauthenticated();
    authorise(actorOf(session.account), rule.operation);
    rememberAccount(request, session.account);
    return true;
  }
}
