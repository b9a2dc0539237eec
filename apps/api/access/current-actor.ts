import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { actorOf, type AccountRecord, type Actor } from '#application';

const accounts = new WeakMap<FastifyRequest, AccountRecord>();

/** Called by the session guard, once a request. */
export function rememberAccount(request: FastifyRequest, account: AccountRecord): void {
  accounts.set(request, account);
}

function accountOf(context: ExecutionContext): AccountRecord {
  const account = accounts.get(context.switchToHttp().getRequest<FastifyRequest>());
  // Reached only when a route that is open to all asks who is there: a defect, not a refusal.
  if (!account) throw new TypeError('This route has no session.');
  return account;
}

/** Who acts; the guard has found out. */
export const CurrentActor = createParamDecorator((_: unknown, context: ExecutionContext): Actor =>
  actorOf(accountOf(context)),
);

export const CurrentAccount = createParamDecorator((_: unknown, context: ExecutionContext): AccountRecord =>
  accountOf(context),
);
