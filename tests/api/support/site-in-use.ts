import 'reflect-metadata';
import { mkdtemp, rm } from 'node:fs/promises';
import type { Server } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import request from 'supertest';
import { FileSetupTokens } from '#access';
import type { Role } from '#application';
import { createLog, readConfig } from '#platform';
import { ApiModule } from '../../../apps/api/api.module.js';
import { createApi } from '../../../apps/api/create-api.js';
import { productionPorts } from '../../../apps/api/production-ports.js';
import { createTestDatabase } from '../../support/database.js';
import { ContractCheck } from './contract-check.js';

/** Long enough for the rule, and the same for everybody of a test. */
export const PASSWORD = 'seven quiet storks at dawn';

export const ISOLATION = 'Isolation unit';
export const EMERGENCY = 'Emergency department';

export interface Person {
  readonly name: string;
  readonly staffNumber: string;
  readonly dateOfBirth: string;
  readonly login: string;
  readonly role: Role;
  readonly unit: string;
}

function person(login: string, name: string, role: Role, number: number, unit = ISOLATION): Person {
  return { login, name, role, unit, staffNumber: `S-${number}`, dateOfBirth: '1988-04-12' };
}

/** Invented people, one a part that somebody can play. */
export const PEOPLE = {
  wearer: person('wearer', 'Ilse Varga', 'wearer', 1001),
  colleague: person('colleague', 'Tomas Lind', 'wearer', 1002),
  nurse: person('nurse', 'Noor Aziz', 'nurse', 2001),
  secondNurse: person('second-nurse', 'Petra Holm', 'nurse', 2002),
  infectionControl: person('infection-control', 'Jonas Abel', 'infection-control', 3001),
  manager: person('manager', 'Rosa Quint', 'manager', 4001),
  otherManager: person('other-manager', 'Ugo Brandt', 'manager', 4002, EMERGENCY),
} as const;

export type Part = keyof typeof PEOPLE | 'administrator';

/**
 * One signed-in client. The cookie is set by hand, since its Secure attribute keeps a cookie jar from using it here. Every
 * answer is held against the contract.
 */
export class Client {
  constructor(
    private readonly service: { readonly server: Server; readonly contract: ContractCheck },
    readonly cookie: string | null,
  ) {}

  get(path: string): request.Test {
    return this.ask('GET', path);
  }

  post(path: string, body: object | undefined = {}, headers: Readonly<Record<string, string>> = {}): request.Test {
    return this.ask('POST', path).set(headers).send(body);
  }

  /** A POST with a new idempotency key. */
  create(path: string, body: object, headers: Readonly<Record<string, string>> = {}): request.Test {
    return this.post(path, body, { 'idempotency-key': crypto.randomUUID(), ...headers });
  }

  patch(path: string, body: object): request.Test {
    return this.ask('PATCH', path).send(body);
  }

  delete(path: string): request.Test {
    return this.ask('DELETE', path);
  }

  private ask(method: 'GET' | 'POST' | 'PATCH' | 'DELETE', path: string): request.Test {
    const { server, contract } = this.service;
    const address = path.startsWith('/health') || path.startsWith('/api') ? path : `/api/v1${path}`;
    const asked = request(server)[method.toLowerCase() as 'get' | 'post' | 'patch' | 'delete'](address);
    if (this.cookie !== null) void asked.set('cookie', this.cookie);
    return asked.expect((response) => contract.check(method, address, response));
  }
}

export interface SiteInUse {
  readonly server: Server;
  readonly contract: ContractCheck;
  readonly databaseUrls: { readonly adminUrl: string; readonly workerUrl: string };
  readonly masterKey: string;
  /** Everything that the service wrote to its log. */
  readonly logged: readonly string[];
  readonly siteId: string;
  readonly unitIds: Readonly<Record<string, string>>;
  readonly personIds: Readonly<Record<keyof typeof PEOPLE, string>>;
  readonly stranger: Client;
  as(part: Part): Client;
  stop(): Promise<void>;
}

async function signIn(service: BareService, login: string): Promise<Client> {
  const { status, headers } = await service.stranger.post('/session', { login, password: PASSWORD });
  if (status !== 200) throw new Error(`${login} could not sign in: ${status}`);
  const [cookie = ''] = (headers['set-cookie'] as unknown as string[] | undefined) ?? [];
  return new Client(service, cookie.split(';')[0] ?? null);
}

/** The set-up as the page of the one-time link sends it. */
export function aSetup(token: string): object {
  return {
    token,
    siteName: 'Larkhill General',
    timeZone: 'Europe/Madrid',
    units: [ISOLATION, EMERGENCY],
    emergency: { words: 'Collapse or heavy bleeding: call the emergency team.', telephone: '2222' },
    occupationalHealth: { telephone: '3141', email: 'occupational-health@larkhill.example' },
    onCallClinician: { telephone: '3142' },
    login: 'administrator',
    password: PASSWORD,
  };
}

export interface BareService {
  readonly server: Server;
  readonly contract: ContractCheck;
  readonly stranger: Client;
  readonly database: Awaited<ReturnType<typeof createTestDatabase>>;
  readonly setupToken: string;
  readonly logged: readonly string[];
  stop(): Promise<void>;
}

/** The real service on a new, empty database: nobody has set it up yet. */
export async function startBareService(): Promise<BareService> {
  const database = await createTestDatabase();
  const folder = await mkdtemp(join(tmpdir(), 'innerglove-api-'));
  const tokens = new FileSetupTokens(folder);
  const logged: string[] = [];
  const settings = readConfig({ DATABASE_URL: database.appUrl, MASTER_KEY: database.masterKey, DATA_FOLDER: folder });
  const { app, document } = await createApi({
    module: ApiModule.over(productionPorts(settings, tokens)),
    log: createLog('debug', (line) => {
      logged.push(line);
      // A fault of the service's own is worth reading whatever the test makes of it.
      if (line.includes('"level":"error"')) process.stderr.write(line);
    }),
  });
  const service = { server: app.getHttpServer() as Server, contract: new ContractCheck(document) };
  return {
    ...service,
    stranger: new Client(service, null),
    database,
    setupToken: await tokens.issue(),
    logged,
    stop: async () => {
      await app.close();
      await database.drop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A hospital with two units and one person for every part, entered through the service itself. */
export async function startSiteInUse(): Promise<SiteInUse> {
  const bare = await startBareService();
  const { server, contract, stranger, database, setupToken, logged, stop } = bare;
  const setup = await stranger.post('/setup', aSetup(setupToken)).expect(201);
  const { siteId, units } = setup.body as { siteId: string; units: { unitId: string; name: string }[] };
  const unitIds = Object.fromEntries(units.map(({ unitId, name }) => [name, unitId]));
  const administrator = await signIn(bare, 'administrator');
  const entered = await Promise.all(
    Object.entries(PEOPLE).map(async ([part, { name, staffNumber, dateOfBirth, login, role, unit }]) => {
      const response = await administrator
        .post('/people', {
          name,
          staffNumber,
          dateOfBirth,
          telephone: '555 0100',
          unitId: unitIds[unit],
          job: 'Nurse',
          account: {
            login,
            password: PASSWORD,
            role,
            ...(role === 'manager' ? { unitIds: [unitIds[unit]] } : {}),
          },
        })
        .expect(201);
      return [part, (response.body as { personId: string }).personId, await signIn(bare, login)] as const;
    }),
  );
  const clients = new Map<string, Client>(entered.map(([part, , client]) => [part, client]));
  clients.set('administrator', administrator);
  return {
    server,
    contract,
    databaseUrls: database,
    masterKey: database.masterKey,
    logged,
    siteId,
    unitIds,
    personIds: Object.fromEntries(entered.map(([part, personId]) => [part, personId])) as SiteInUse['personIds'],
    stranger,
    as: (part) => {
      const client = clients.get(part);
      if (!client) throw new Error(`Nobody plays ${part}.`);
      return client;
    },
    stop,
  };
}
