import { readFileSync } from 'node:fs';
import { Ajv2020, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';

/** The kinds of file that the rulebook is made of; each has its JSON Schema in `schema/`. */
export type FileKind =
  | 'sources'
  | 'vocabulary'
  | 'questions'
  | 'agents'
  | 'table'
  | 'table-texts'
  | 'profile'
  | 'profile-texts'
  | 'ensemble'
  | 'first-aid'
  | 'first-aid-texts'
  | 'governing';

/** What a file of some kind must look like. */
export class Schemas {
  // Types stand on the schemas that are referred to, not beside each reference.
  private readonly ajv = new Ajv2020({ strict: true, strictTypes: false, allErrors: true });

  constructor() {
    this.ajv.addSchema(schemaDocument('common'));
  }

  /** The first thing that is wrong with a document, or null. */
  defectOf(kind: FileKind, document: unknown): { readonly pointer: string; readonly message: string } | null {
    const validate = this.validatorOf(kind);
    if (validate(document)) return null;
    const error = mostTelling(validate.errors ?? []);
    return { pointer: error?.instancePath ?? '', message: describe(error) };
  }

  private validatorOf(kind: FileKind): ValidateFunction {
    return this.ajv.getSchema(kind) ?? this.ajv.compile(schemaDocument(kind));
  }
}

function schemaDocument(kind: FileKind | 'common'): object {
  return JSON.parse(readFileSync(new URL(`../schema/${kind}.schema.json`, import.meta.url), 'utf8')) as object;
}

/** Of alternatives that all failed, the error deepest in the document tells most. */
function mostTelling(errors: readonly ErrorObject[]): ErrorObject | undefined {
  const depth = (error: ErrorObject): number => error.instancePath.split('/').length;
  return errors.reduce<ErrorObject | undefined>((a, b) => (!a || depth(b) > depth(a) ? b : a), undefined);
}

function describe(error: ErrorObject | undefined): string {
  if (!error) return 'is not acceptable';
  const params = error.params as Record<string, unknown>;
  const named = params['unevaluatedProperty'] ?? params['additionalProperty'] ?? params['allowedValues'];
  return named === undefined ? (error.message ?? 'is not acceptable') : `${error.message ?? ''}: ${String(named)}`;
}
