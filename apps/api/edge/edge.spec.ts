import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { Body, Controller, Get, Module, Param, Post } from '@nestjs/common';
import { DiscoveryModule } from '@nestjs/core';
import type { InjectOptions } from 'fastify';
import { AccountDirectory, SessionTokens, StaleVersion, type Role } from '#application';
import { DatabaseUnavailable } from '#persistence';
import { createLog } from '#platform';
import { Allows, OpenToAll } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { GUARDS } from '../api.module.js';
import { createApi, type Api } from '../create-api.js';
import { ChoiceField, IdField, PartListField, TextField } from './fields.js';
import { IdempotencyKey } from './idempotency-key.js';
import { IfMatch } from './if-match.js';

class CupBody {
  @ChoiceField(['small', 'large'])
  readonly size!: string;
}

class OrderBody {
  @TextField({ min: 1, max: 10 })
  readonly name!: string;

  @PartListField(() => CupBody, { optional: true })
  readonly cups?: readonly CupBody[];
}

class OrderParam {
  @IdField()
  readonly orderId!: string;
}

@Controller('orders')
class OrdersController {
  @Post()
  @OpenToAll('a test')
  createOrder(@Body() body: OrderBody): OrderBody {
    return body;
  }

  @Get('mine')
  @Allows('plan.release')
  showMine(@CurrentActor() actor: { role: string }): { role: string } {
    return { role: actor.role };
  }

  @Post('keyed')
  @OpenToAll('a test')
  keyed(@IdempotencyKey() key: string, @IfMatch() revision: number): { key: string; revision: number } {
    return { key, revision };
  }

  @Get('stale')
  @OpenToAll('a test')
  refuse(): never {
    throw new StaleVersion(4);
  }

  @Get('broken')
  @OpenToAll('a test')
  fail(): never {
    throw new Error('the name of a patient');
  }

  @Get('away')
  @OpenToAll('a test')
  away(): never {
    throw new DatabaseUnavailable('ECONNREFUSED');
  }

  @Get('by-id/:orderId')
  @OpenToAll('a test')
  show(@Param() { orderId }: OrderParam): { orderId: string } {
    return { orderId };
  }
}

const ROLE_OF: Readonly<Record<string, Role>> = { 'hash of a-nurse': 'nurse', 'hash of a-manager': 'manager' };

const SESSIONS = [
  {
    provide: AccountDirectory,
    useValue: {
      findSession: async (hash: string) => (ROLE_OF[hash] ? { account: { role: ROLE_OF[hash] } } : null),
    },
  },
  { provide: SessionTokens, useValue: { hash: (token: string) => `hash of ${token}` } },
];

@Module({})
class BareModule {}

describe('the edge', () => {
  let api: Api;
  const logged: string[] = [];

  beforeAll(async () => {
    api = await createApi({
      module: {
        module: BareModule,
        imports: [DiscoveryModule],
        controllers: [OrdersController],
        providers: [...SESSIONS, ...GUARDS],
      },
      log: createLog('info', (line) => logged.push(line)),
    });
  });

  afterAll(() => api.app.close());

  const send = async (request: InjectOptions) => {
    const reply = await api.app.inject(request);
    return { status: reply.statusCode, headers: reply.headers, body: reply.json<Record<string, unknown>>() };
  };
  const post = (payload: InjectOptions['payload'], headers: Record<string, string> = {}, url = '/api/v1/orders') =>
    send({ method: 'POST', url, payload, headers: { 'content-type': 'application/json', ...headers } });

  it('takes a body that has the shape of its class', async () => {
    const { status, body } = await post({ name: 'tea', cups: [{ size: 'small' }] });

    expect(status).toBe(201);
    expect(body).toEqual({ name: 'tea', cups: [{ size: 'small' }] });
  });

  it('names every field that is wrong, by its pointer, with what would be accepted', async () => {
    const { status, headers, body } = await post({ name: '', cups: [{ size: 'small' }, { size: 'vast' }] });

    expect(status).toBe(400);
    expect(headers['content-type']).toBe('application/problem+json; charset=utf-8');
    expect(body).toMatchObject({
      type: '/problems/malformed',
      status: 400,
      errors: [
        { pointer: '/name', accepted: 'text of 1 to 10 characters' },
        { pointer: '/cups/1/size', accepted: 'one of: small, large' },
      ],
    });
    expect(JSON.stringify(body)).not.toContain('vast');
  });

  it('refuses a field that its class does not have and lists those that it has', async () => {
    const { status, body } = await post({ name: 'tea', colour: 'green', cups: [{ size: 'small', lid: true }] });

    expect(status).toBe(400);
    expect(body['errors']).toEqual([
      { pointer: '/colour', detail: 'There is no such field.', accepted: 'one of the fields: cups, name' },
      { pointer: '/cups/0/lid', detail: 'There is no such field.', accepted: 'one of the fields: size' },
    ]);
  });

  it.each([
    ['a list', '[]', 400, '/problems/malformed'],
    ['a number', '7', 400, '/problems/malformed'],
    ['broken JSON', '{"name": ', 400, '/problems/malformed'],
    ['nothing', '', 400, '/problems/malformed'],
    ['a poisoned prototype', '{"name": "tea", "__proto__": {"admin": true}}', 400, '/problems/malformed'],
    ['300 KiB', JSON.stringify({ name: 'x'.repeat(300 * 1024) }), 413, '/problems/too-large'],
  ])('answers %s with a problem', async (_, payload, expected, type) => {
    const { status, headers, body } = await post(payload);

    expect([status, body['type']]).toEqual([expected, type]);
    expect(headers['content-type']).toContain('application/problem+json');
    expect(body['status']).toBe(expected);
  });

  it.each(['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x', 'application/xml'])(
    'refuses %s, which a page elsewhere could send without asking',
    async (type) => {
      const { status, body } = await post('name=tea', { 'content-type': type });

      expect([status, body['type']]).toEqual([415, '/problems/unsupported-media-type']);
    },
  );

  it.each([
    [{ 'sec-fetch-site': 'cross-site' }],
    [{ 'sec-fetch-site': 'same-site' }],
    [{ origin: 'https://elsewhere.example' }],
    [{ origin: 'null' }],
    [{ origin: 'http://localhost:81' }],
  ])('refuses a change that another site’s page sends: %j', async (headers) => {
    const { status, body } = await post({ name: 'tea' }, { host: 'localhost:80', ...headers });

    expect([status, body['type']]).toEqual([403, '/problems/cross-site']);
  });

  it('takes a change from its own page', async () => {
    const own = { host: 'localhost:81', origin: 'http://localhost:81', 'sec-fetch-site': 'same-origin' };

    expect((await post({ name: 'tea' }, own)).status).toBe(201);
  });

  it.each([
    ['/api/v1/nothing', 404],
    ['/api/nothing', 404],
    ['/nothing', 404],
    ['/api/v1/orders/by-id/%zz', 404],
    [`/api/v1/orders/by-id/${'x'.repeat(3000)}`, 400],
  ])('answers %s with a problem', async (url, expected) => {
    const { status, headers, body } = await send({ method: 'GET', url });

    expect(status).toBe(expected);
    expect(headers['content-type']).toContain('application/problem+json');
    expect(body['status']).toBe(expected);
  });

  it('calls an id of another form malformed and names the parameter', async () => {
    const { status, body } = await send({ method: 'GET', url: '/api/v1/orders/by-id/7' });

    expect(status).toBe(400);
    expect(body['errors']).toEqual([
      { parameter: 'orderId', detail: 'This must be an id (UUID).', accepted: 'an id (UUID)' },
    ]);
  });

  it('asks for a session, and turns away a role that the operation does not list', async () => {
    const ask = (cookie?: string) =>
      send({ method: 'GET', url: '/api/v1/orders/mine', headers: cookie ? { cookie } : {} });

    expect((await ask()).body).toMatchObject({ status: 401, type: '/problems/unauthenticated' });
    expect((await ask('__Host-innerglove=nobody')).body).toMatchObject({ status: 401 });
    expect((await ask('innerglove=a-nurse')).body).toMatchObject({ status: 401 });
    expect((await ask('__Host-innerglove=a-manager')).body).toMatchObject({ status: 403, type: '/problems/forbidden' });
    expect((await ask('__Host-innerglove=a-nurse')).body).toEqual({ role: 'nurse' });
  });

  it('reads the idempotency key, quoted or bare, and the version', async () => {
    const keyed = (headers: Record<string, string>) => post({}, headers, '/api/v1/orders/keyed');

    expect((await keyed({ 'idempotency-key': '"key-1234"', 'if-match': '"3"' })).body).toEqual({
      key: 'key-1234',
      revision: 3,
    });
    expect((await keyed({ 'idempotency-key': 'key-1234', 'if-match': '"3"' })).status).toBe(201);
    expect((await keyed({ 'if-match': '"3"' })).body).toMatchObject({
      status: 400,
      errors: [{ parameter: 'Idempotency-Key' }],
    });
    expect((await keyed({ 'idempotency-key': 'key-1234' })).body).toMatchObject({
      status: 428,
      type: '/problems/precondition-required',
      errors: [{ parameter: 'If-Match' }],
    });
    for (const version of ['3', 'W/"3"', '*', '"0"', '"3", "4"']) {
      expect((await keyed({ 'idempotency-key': 'key-1234', 'if-match': version })).status).toBe(400);
    }
  });

  it('tells a refusal by its code and keeps a fault of its own to itself', async () => {
    expect((await send({ method: 'GET', url: '/api/v1/orders/stale' })).body).toMatchObject({
      type: '/problems/stale-version',
      status: 412,
      errors: [{ accepted: 'the current version, 4' }],
    });

    logged.length = 0;
    const { body } = await send({ method: 'GET', url: '/api/v1/orders/broken' });
    expect(Object.keys(body).sort()).toEqual(['instance', 'status', 'title', 'type']);
    expect(body).toMatchObject({ type: '/problems/internal', status: 500 });
    expect(logged).toHaveLength(1);
    const [line = ''] = logged;
    expect(body['instance']).toBe(`urn:uuid:${(JSON.parse(line) as { requestId: string }).requestId}`);
    expect(line + JSON.stringify(body)).not.toContain('the name of a patient');
  });

  it('says that it is away, not broken, while the database is', async () => {
    const { status, headers, body } = await send({ method: 'GET', url: '/api/v1/orders/away' });

    expect([status, body['type'], headers['retry-after']]).toEqual([503, '/problems/unavailable', '2']);
  });

  it.each(['/api/v1/orders/stale', '/api/v1/nothing', '/nothing', '/api/v1/orders/by-id/%zz'])(
    'sends its security headers with every answer: %s',
    async (url) => {
      const { headers } = await send({ method: 'GET', url });

      expect(headers['content-security-policy']).toContain("default-src 'none'");
      expect(headers['content-security-policy']).not.toContain('unsafe');
      expect(headers['strict-transport-security']).toBe('max-age=31536000; includeSubDomains');
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['cross-origin-opener-policy']).toBe('same-origin');
      expect(headers['cache-control']).toBe('no-store');
    },
  );

  it('does not start with a route that nobody has given an access rule', async () => {
    @Controller('forgotten')
    class ForgottenController {
      @Get()
      show(): string {
        return 'open';
      }
    }
    const booting = createApi({
      module: {
        module: BareModule,
        imports: [DiscoveryModule],
        controllers: [ForgottenController],
        providers: [...SESSIONS, ...GUARDS],
      },
      log: createLog('silent'),
    });

    await expect(booting).rejects.toThrow('ForgottenController.show');
  });
});
