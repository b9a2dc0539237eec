import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { SESSION_COOKIE } from '../access/session-cookie.js';
import { ProblemResponse } from '../problems/problem.response.js';

const DESCRIPTION = [
  'Reports of failed protective clothing, their assessment and their follow-up.',
  'Instants carry an offset (RFC 3339), dates are local to the zone beside them, errors are problem details (RFC 9457).',
  'What a report leaves out is unknown, never "no".',
].join(' ');

/** The contract, OpenAPI 3.1, made from the same classes that judge the requests. */
export function describeApi(app: NestFastifyApplication): OpenAPIObject {
  const config = new DocumentBuilder()
    .setOpenAPIVersion('3.1.0')
    .setTitle('Innerglove')
    .setDescription(DESCRIPTION)
    .setVersion('1')
    .addCookieAuth(SESSION_COOKIE, { type: 'apiKey', in: 'cookie' }, 'session')
    .addSecurityRequirements('session')
    .build();
  const document = SwaggerModule.createDocument(app, config, {
    operationIdFactory: (_controller, method) => method,
    extraModels: [ProblemResponse],
  });
  const problem = {
    description: 'A problem, told as RFC 9457 asks.',
    content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/ProblemResponse' } } },
  };
  for (const path of Object.values(document.paths)) {
    for (const operation of Object.values(path as Record<string, { responses?: Record<string, unknown> }>)) {
      if (operation?.responses) operation.responses['default'] ??= problem;
    }
  }
  return document;
}
