import fastifyCookie from '@fastify/cookie';
import type { DynamicModule } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import type { OpenAPIObject } from '@nestjs/swagger';
import type { FastifyInstance } from 'fastify';
import { readFileSync } from 'node:fs';
import type { Log } from '#platform';
import { RequestShapePipe } from './edge/request-shape.pipe.js';
import { describeApi } from './openapi/openapi-document.js';
import { ProblemDetailsFilter } from './problems/problem-details.filter.js';
import { sendSecurityHeaders } from './web/security-headers.js';
import { serveWebPages } from './web/web-pages.js';

/** A report with every list at its longest takes a tenth of it. */
const BODY_LIMIT_BYTES = 256 * 1024;

/** Node refuses a longer request line itself. How long a parameter may be is for its class to say. */
const LONGEST_ADDRESS = 16 * 1024;

/** The router would answer a broken escape itself, past every hook; here it becomes an address where there is nothing. */
const UNREADABLE = '/api/unreadable-address';

function isReadable(url: string): boolean {
  try {
    decodeURI(url);
    return true;
  } catch {
    return false;
  }
}

export interface ApiOptions {
  /** Controllers over their ports: `ApiModule.over(…)`. */
  readonly module: DynamicModule;
  readonly log: Log;
  readonly tls?: { readonly certificateFile: string; readonly keyFile: string } | null;
  readonly trustProxy?: boolean;
  /** The built pages; without it there is the API alone. */
  readonly webFolder?: string | null;
}

export interface Api {
  readonly app: NestFastifyApplication;
  readonly document: OpenAPIObject;
}

function adapterFor({ tls, trustProxy = false }: ApiOptions): FastifyAdapter {
  const https = tls ? { cert: readFileSync(tls.certificateFile), key: readFileSync(tls.keyFile) } : null;
  return new FastifyAdapter({
    bodyLimit: BODY_LIMIT_BYTES,
    trustProxy,
    // A client that keeps its connection open must not hold up the end of the process; a request that runs may.
    forceCloseConnections: 'idle',
    routerOptions: { maxParamLength: LONGEST_ADDRESS },
    rewriteUrl: ({ url = '/' }) => (isReadable(url) ? url : UNREADABLE),
    ...(https ? { https } : {}),
  });
}

/** A connection whose request was still running when the end came is closed with its answer, not kept for another. */
function letConnectionsGoAtTheEnd(server: FastifyInstance): void {
  let ending = false;
  server.addHook('preClose', async () => {
    ending = true;
  });
  server.addHook('onSend', async (_request, reply) => {
    if (ending) reply.header('Connection', 'close');
  });
}

/** The service as one HTTP application, initialised and not yet listening. Throws when a route has no access rule. */
export async function createApi(options: ApiOptions): Promise<Api> {
  const { module, log, webFolder = null } = options;
  const app = await NestFactory.create<NestFastifyApplication>(module, adapterFor(options), {
    bodyParser: false,
    logger: false,
    abortOnError: false,
  });
  const server = app.getHttpAdapter().getInstance();
  server.removeContentTypeParser('text/plain');
  letConnectionsGoAtTheEnd(server);
  await server.register(fastifyCookie);
  await sendSecurityHeaders(server);
  app.setGlobalPrefix('api/v1', { exclude: ['health/live', 'health/ready'] });
  app.useGlobalPipes(new RequestShapePipe());
  app.useGlobalFilters(new ProblemDetailsFilter(log));
  const document = describeApi(app);
  server.get('/api/openapi.json', (_request, reply) => reply.send(document));
  if (webFolder && !(await serveWebPages(server, webFolder))) log.warn('no-pages-built');
  await app.init();
  await server.ready();
  return { app, document };
}
