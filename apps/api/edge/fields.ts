import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import {
  ArrayMaxSize,
  IsArray,
  IsBoolean,
  IsIn,
  IsInt,
  IsObject,
  IsOptional,
  IsString,
  Matches,
  Max,
  MaxLength,
  Min,
  MinLength,
  ValidateNested,
  type ValidationOptions,
} from 'class-validator';
import { declareShape } from './shape.js';

/**
 * One decorator a kind of field. Each states the rule, the schema in the OpenAPI document and the sentence "what would be
 * accepted" together, so that the three cannot drift apart; a response class uses the same ones for its schema alone.
 */
export interface FieldOptions {
  readonly description?: string;
  /** May be left out. In a report, what is left out is unknown, never "no". */
  readonly optional?: boolean;
  readonly nullable?: boolean;
  readonly example?: unknown;
}

type Rule = (options: ValidationOptions) => PropertyDecorator;

/** More entries than any real report holds; it bounds the work that one request can cause. */
const LONGEST_LIST = 100;

interface Kind {
  readonly schema: ApiPropertyOptions;
  readonly accepted: string;
  readonly rules: readonly Rule[];
  readonly nested?: () => new () => object;
  readonly list?: boolean;
}

function field({ schema, accepted, rules, nested, list = false }: Kind, options: FieldOptions): PropertyDecorator {
  const { description, optional = false, nullable = false, example } = options;
  const documented = {
    ...schema,
    required: !optional,
    ...(description === undefined ? {} : { description }),
    ...(nullable ? { nullable } : {}),
    ...(example === undefined ? {} : { example }),
  } as ApiPropertyOptions;
  const rule: ValidationOptions = { message: `This must be ${accepted}.`, context: { accepted } };
  const each: ValidationOptions = { ...rule, each: true };
  return (target, property) => {
    ApiProperty(documented)(target, property);
    declareShape(target.constructor, String(property), nested);
    if (optional || nullable) IsOptional()(target, property);
    if (list) {
      IsArray({ message: `This must be a list, each ${accepted}.`, context: rule.context })(target, property);
      ArrayMaxSize(LONGEST_LIST, {
        message: `This list may hold ${LONGEST_LIST} entries at most.`,
        context: { accepted: `a list of at most ${LONGEST_LIST} entries` },
      })(target, property);
    }
    for (const apply of rules) apply(list ? each : rule)(target, property);
    if (nested) {
      Type(nested)(target, property);
      ValidateNested(list ? each : rule)(target, property);
    }
  };
}

const UUID = '[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}';
const UUID_V7 = '[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-7[0-9a-fA-F]{3}-[89abAB][0-9a-fA-F]{3}-[0-9a-fA-F]{12}';
const INSTANT =
  '[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9](\\.[0-9]{1,9})?)?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])';
const LOCAL_DATE = '[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])';
const LOCAL_TIME = '([01][0-9]|2[0-3]):[0-5][0-9]';
const DECIMAL = '-?[0-9]{1,6}(\\.[0-9]{1,4})?';
const CODE = '[A-Za-z0-9][A-Za-z0-9:@/._-]{0,127}';

const matching = (pattern: string): Rule => {
  const whole = new RegExp(`^(?:${pattern})$`, 'u');
  return (options) => Matches(whole, options);
};

function patterned(pattern: string, accepted: string, format: string | undefined, options: FieldOptions) {
  return field(
    {
      schema: format === undefined ? { type: 'string', pattern: `^(?:${pattern})$` } : { type: 'string', format },
      accepted,
      rules: [matching(pattern)],
    },
    options,
  );
}

const ID = 'an id (UUID)';

/** An id as the service gives them. */
export const IdField = (options: FieldOptions = {}) => patterned(UUID, ID, 'uuid', options);
export const IdListField = (options: FieldOptions = {}) =>
  field(
    {
      schema: { type: 'array', items: { type: 'string', format: 'uuid' } },
      accepted: ID,
      rules: [matching(UUID)],
      list: true,
    },
    options,
  );

/** An id that the client makes, ordered by time: UUID version 7 (RFC 9562, section 5.7). */
export const ClientIdField = (options: FieldOptions = {}) =>
  patterned(UUID_V7, 'an id of UUID version 7, made by the client', 'uuid', options);

export const InstantField = (options: FieldOptions = {}) =>
  patterned(INSTANT, 'an instant with its offset (RFC 3339), such as 2026-01-31T21:40:00+01:00', 'date-time', options);

export const LocalDateField = (options: FieldOptions = {}) =>
  patterned(LOCAL_DATE, 'a date, YYYY-MM-DD', 'date', options);

/** Wall-clock time of day, `HH:MM`. */
export const LocalTimeField = (options: FieldOptions = {}) =>
  patterned(LOCAL_TIME, 'a time of day, HH:MM', undefined, options);

/** Whether the name exists is for the calendar to say; this only bounds its form. */
export const TimeZoneField = (options: FieldOptions = {}) =>
  patterned('[A-Za-z0-9_+/-]{1,64}', 'an IANA time zone name, such as Europe/Madrid', undefined, options);

/** A decimal kept as it was typed. */
export const DecimalField = (options: FieldOptions = {}) =>
  patterned(DECIMAL, 'a decimal in text, such as "38.4"', undefined, options);

/** An id out of the rulebook: a layer, a step, an agent, a table. */
export const CodeField = (options: FieldOptions = {}) =>
  patterned(CODE, 'a code of letters, digits and - . : / @ _', undefined, options);
export const CodeListField = (options: FieldOptions = {}) =>
  field(
    {
      schema: { type: 'array', items: { type: 'string' } },
      accepted: 'a code of letters, digits and - . : / @ _',
      rules: [matching(CODE)],
      list: true,
    },
    options,
  );

export interface TextOptions extends FieldOptions {
  readonly min?: number;
  readonly max: number;
}

/** Text that somebody types. */
export function TextField({ min = 0, max, ...options }: TextOptions): PropertyDecorator {
  return field(
    {
      schema: { type: 'string', minLength: min, maxLength: max },
      accepted: `text of ${min} to ${max} characters`,
      rules: [
        (rule) => IsString(rule),
        (rule) => MaxLength(max, rule),
        ...(min > 0 ? [(rule: ValidationOptions) => MinLength(min, rule)] : []),
      ],
    },
    options,
  );
}

/** Text that the service says, however long. */
export const WordsField = (options: FieldOptions = {}) =>
  field({ schema: { type: 'string' }, accepted: 'text', rules: [(rule) => IsString(rule)] }, options);

export const TextListField = (options: FieldOptions = {}) =>
  field(
    {
      schema: { type: 'array', items: { type: 'string' } },
      accepted: 'text of at most 2000 characters',
      rules: [(rule) => IsString(rule), (rule) => MaxLength(2000, rule)],
      list: true,
    },
    options,
  );

const oneOf = (values: readonly string[]) => `one of: ${values.join(', ')}`;

export function ChoiceField(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    {
      schema: { type: 'string', enum: [...values] } as ApiPropertyOptions,
      accepted: oneOf(values),
      rules: [(rule) => IsIn([...values], rule)],
    },
    options,
  );
}

export function ChoiceListField(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    {
      schema: { type: 'array', items: { type: 'string', enum: [...values] } },
      accepted: oneOf(values),
      rules: [(rule) => IsIn([...values], rule)],
      list: true,
    },
    options,
  );
}

export const YES_NO_UNKNOWN = ['yes', 'no', 'unknown'] as const;
export const TernaryField = (options: FieldOptions = {}) => ChoiceField(YES_NO_UNKNOWN, options);

export const FlagField = (options: FieldOptions = {}) =>
  field({ schema: { type: 'boolean' }, accepted: 'true or false', rules: [(rule) => IsBoolean(rule)] }, options);

export interface WholeNumberOptions extends FieldOptions {
  readonly min?: number;
  readonly max?: number;
}

export function WholeNumberField({
  min = 0,
  max = 2 ** 31 - 1,
  ...options
}: WholeNumberOptions = {}): PropertyDecorator {
  return field(
    {
      schema: { type: 'integer', minimum: min, maximum: max },
      accepted: `a whole number from ${min} to ${max}`,
      rules: [(rule) => IsInt(rule), (rule) => Min(min, rule), (rule) => Max(max, rule)],
    },
    options,
  );
}

/** Another class with fields of its own. The document’s maker knows a late reference by the name `type` of its function. */
export const PartField = (part: () => new () => object, options: FieldOptions = {}) =>
  field(
    {
      schema: { type: () => part() } as ApiPropertyOptions,
      accepted: 'an object',
      rules: [(rule) => IsObject(rule)],
      nested: part,
    },
    options,
  );

export const PartListField = (part: () => new () => object, options: FieldOptions = {}) =>
  field(
    {
      schema: { type: () => part(), isArray: true } as ApiPropertyOptions,
      accepted: 'a list of objects',
      rules: [],
      nested: part,
      list: true,
    },
    options,
  );

/** Keys that the data decides. The values' schema is for the document; a request's values are judged by the use case. */
export const MapField = (values: object, options: FieldOptions = {}) =>
  field(
    {
      schema: { type: 'object', additionalProperties: values } as ApiPropertyOptions,
      accepted: 'an object',
      rules: [(rule) => IsObject(rule)],
    },
    options,
  );

/** A value with a schema of its own, for what no other kind says. */
export const ValueField = (
  schema: object,
  rule: { accepted: string; rules: readonly Rule[] },
  options: FieldOptions = {},
) => field({ schema: schema as ApiPropertyOptions, ...rule }, options);
