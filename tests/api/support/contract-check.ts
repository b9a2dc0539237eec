import type { OpenAPIObject } from '@nestjs/swagger';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import type { Response } from 'supertest';

interface Content {
  readonly content?: Readonly<Record<string, { readonly schema?: object }>>;
}

type Operations = Readonly<Record<string, { readonly responses?: Readonly<Record<string, Content>> }>>;

/** Holds every answer of the service against what the contract says of that route and status. */
export class ContractCheck {
  private readonly ajv = new Ajv2020({ strict: false, allErrors: true });
  private readonly routes: readonly { readonly path: RegExp; readonly operations: Operations }[];
  private readonly compiled = new Map<object, ValidateFunction>();

  constructor(document: OpenAPIObject) {
    addFormats.default(this.ajv);
    this.ajv.addSchema({ $id: 'contract', components: document.components });
    this.routes = Object.entries(document.paths)
      // A fixed path stands before one with a parameter in the same place.
      .sort(([one], [other]) => one.split('{').length - other.split('{').length)
      .map(([path, operations]) => ({
        path: new RegExp(`^${path.replaceAll('.', '\\.').replaceAll(/\{\w+\}/g, '[^/]+')}$`),
        operations: operations as Operations,
      }));
  }

  /** Throws when the answer is not one that the contract tells of. */
  check(method: string, address: string, { status, headers, body }: Response): void {
    const { pathname } = new URL(address, 'http://service.example');
    const operations = this.routes.find(({ path }) => path.test(pathname))?.operations;
    const responses = operations?.[method.toLowerCase()]?.responses;
    // Refused before a route was found, or the contract itself.
    if (!responses) return;
    const told = responses[String(status)] ?? (status >= 400 ? responses['default'] : undefined);
    if (!told) throw new Error(`${method} ${pathname} answered ${status}, of which the contract says nothing.`);
    const type = String(headers['content-type'] ?? '').split(';')[0] ?? '';
    const schema = told.content?.[type]?.schema;
    if (!schema) {
      if (told.content === undefined && type === '') return;
      throw new Error(`${method} ${pathname} answered ${type || 'nothing'}, of which the contract says nothing.`);
    }
    if (!type.endsWith('json')) return;
    const validate = this.validator(schema);
    if (validate(body)) return;
    throw new Error(`${method} ${pathname} broke the contract: ${this.ajv.errorsText(validate.errors)}`);
  }

  private validator(schema: object): ValidateFunction {
    const known = this.compiled.get(schema);
    if (known) return known;
    const absolute = JSON.parse(
      JSON.stringify(schema).replaceAll('"#/components/', '"contract#/components/'),
    ) as object;
    const validate = this.ajv.compile(absolute);
    this.compiled.set(schema, validate);
    return validate;
  }
}
