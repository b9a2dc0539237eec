import type { OpenAPIObject } from '@nestjs/swagger';
import {
  AccountDirectory,
  LetterWriter,
  PasswordHasher,
  SessionTokens,
  SetupTokens,
  SiteDirectory,
  UnitOfWork,
} from '#application';
import { createLog } from '#platform';
import { ApiModule } from '../api.module.js';
import { createApi } from '../create-api.js';
import { Readiness } from '../health/readiness.js';
import { RULEBOOK } from '../use-cases.js';

const PORTS = [
  UnitOfWork,
  AccountDirectory,
  SiteDirectory,
  SetupTokens,
  PasswordHasher,
  SessionTokens,
  LetterWriter,
  Readiness,
  RULEBOOK,
];

/** The contract alone: the routes and their classes say it, so no port behind them is ever called. */
export async function describeWithoutDatabase(): Promise<OpenAPIObject> {
  const { app, document } = await createApi({
    module: ApiModule.over({ providers: PORTS.map((provide) => ({ provide, useValue: {} })) }),
    log: createLog('silent'),
  });
  await app.close();
  return document;
}
