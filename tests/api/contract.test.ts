import 'reflect-metadata';
import { beforeAll, describe, expect, it } from '@jest/globals';
import { RequestMethod } from '@nestjs/common';
import { METHOD_METADATA, PATH_METADATA } from '@nestjs/common/constants.js';
import type { OpenAPIObject } from '@nestjs/swagger';
import { readFile } from 'node:fs/promises';
import openapiTS, { astToString, COMMENT_HEADER } from 'openapi-typescript';
import { ACCESS_MATRIX } from '#application';
import { CONTROLLERS } from '../../apps/api/api.module.js';
import { describeWithoutDatabase } from '../../apps/api/openapi/describe-without-database.js';

type Operation = {
  readonly operationId?: string;
  readonly responses?: Readonly<Record<string, { readonly content?: Readonly<Record<string, { schema?: object }>> }>>;
  readonly parameters?: readonly { readonly in: string; readonly name: string }[];
  readonly requestBody?: unknown;
  readonly 'x-access'?: { readonly operation?: string; readonly open?: string; readonly roles?: unknown };
};

/** Every route that a controller declares, as `METHOD /path/{parameter}`. */
function declaredRoutes(): string[] {
  return CONTROLLERS.flatMap((controller) => {
    const base = String(Reflect.getMetadata(PATH_METADATA, controller));
    const prefix = base === 'health' ? '' : '/api/v1';
    const prototype = controller.prototype as unknown as Record<string, object>;
    return Object.getOwnPropertyNames(prototype)
      .filter((name) => Reflect.hasMetadata(METHOD_METADATA, prototype[name] ?? {}))
      .map((name) => {
        const handler = prototype[name] ?? {};
        const method = RequestMethod[Reflect.getMetadata(METHOD_METADATA, handler) as number];
        const path = String(Reflect.getMetadata(PATH_METADATA, handler)).replace(/^\/$/, '');
        const whole = [prefix, base, path].filter((part) => part !== '').join('/');
        return `${method} /${whole.replace(/^\/+/, '').replaceAll(/:(\w+)/g, '{$1}')}`;
      });
  }).sort();
}

function everyNode(value: unknown, visit: (node: Readonly<Record<string, unknown>>) => void): void {
  if (Array.isArray(value)) value.forEach((item) => everyNode(item, visit));
  else if (typeof value === 'object' && value !== null) {
    visit(value as Readonly<Record<string, unknown>>);
    Object.values(value).forEach((item) => everyNode(item, visit));
  }
}

describe('the contract', () => {
  let document: OpenAPIObject;
  let operations: { readonly route: string; readonly operation: Operation }[];

  beforeAll(async () => {
    document = await describeWithoutDatabase();
    operations = Object.entries(document.paths).flatMap(([path, methods]) =>
      Object.entries(methods as Record<string, Operation>).map(([method, operation]) => ({
        route: `${method.toUpperCase()} ${path}`,
        operation,
      })),
    );
  });

  it('is OpenAPI 3.1, with every reference resolved and no word of 3.0', () => {
    expect(document.openapi).toBe('3.1.0');
    everyNode(document, (node) => {
      expect(node).not.toHaveProperty('nullable');
      if (typeof node['$ref'] === 'string') {
        const name = node['$ref'].replace('#/components/schemas/', '');
        expect(document.components?.schemas).toHaveProperty([name]);
      }
    });
  });

  it('holds every route that a controller declares, and no other', () => {
    const routes = declaredRoutes();

    expect(routes.length).toBeGreaterThan(30);
    expect(operations.map(({ route }) => route).sort()).toEqual(routes);
  });

  it('names who may use each operation, as the access matrix has it', () => {
    for (const { route, operation } of operations) {
      const access = operation['x-access'];
      if (access?.open !== undefined) continue;
      const named = access?.operation as keyof typeof ACCESS_MATRIX;
      expect({ route, known: named in ACCESS_MATRIX, roles: access?.roles }).toEqual({
        route,
        known: true,
        roles: ACCESS_MATRIX[named],
      });
    }
    expect(
      operations
        .filter(({ operation }) => operation['x-access']?.open)
        .map(({ route }) => route)
        .sort(),
    ).toEqual([
      'DELETE /api/v1/session',
      'GET /api/v1/setup',
      'GET /health/live',
      'GET /health/ready',
      'POST /api/v1/session',
      'POST /api/v1/setup',
    ]);
  });

  it('says of every operation how it answers and how it refuses', () => {
    for (const { route, operation } of operations) {
      const responses = Object.entries(operation.responses ?? {});
      const answers = responses.filter(([status]) => /^2/.test(status));
      expect({ route, answers: answers.length > 0 }).toEqual({ route, answers: true });
      for (const [status, { content }] of answers) {
        if (status !== '204') expect(Object.values(content ?? {})[0]?.schema).toBeDefined();
      }
      expect(operation.responses?.['default']?.content).toHaveProperty(['application/problem+json']);
    }
    const ids = operations.map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('asks for a key where something is created that a repeat could double', () => {
    const keyed = operations.filter(({ operation }) =>
      operation.parameters?.some(({ in: place, name }) => place === 'header' && name === 'Idempotency-Key'),
    );

    expect(keyed.map(({ route }) => route).sort()).toEqual([
      'POST /api/v1/determinations',
      'POST /api/v1/incidents',
      'POST /api/v1/plans/{planId}/release',
      'POST /api/v1/readings',
    ]);
  });

  it('gives the committed client again, word for word', async () => {
    // The library judges the document against the 3.1 grammar before it writes a line.
    const generated = COMMENT_HEADER + astToString(await openapiTS(JSON.stringify(document)));
    const committed = await readFile(new URL('../../libs/api-client/schema.d.ts', import.meta.url), 'utf8');

    expect(generated).toBe(committed);
  });

  it('keeps the types that decorators rely on, so that a change of compiler shows', () => {
    for (const controller of CONTROLLERS) {
      const types = Reflect.getMetadata('design:paramtypes', controller) as unknown[];
      expect({ controller: controller.name, injects: types.every((type) => typeof type === 'function') }).toEqual({
        controller: controller.name,
        injects: true,
      });
      expect(types).toHaveLength(controller.length);
      expect(types).not.toContain(Object);
    }
  });
});
