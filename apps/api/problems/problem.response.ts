import { FieldOptions, PartListField, WordsField, WholeNumberField } from '../edge/fields.js';

const optional: FieldOptions = { optional: true };

/** One thing that was wrong, and what would have been accepted instead. It never repeats what was sent. */
export class ProblemErrorResponse {
  @WordsField({ ...optional, description: 'JSON Pointer (RFC 6901) into the body.' })
  readonly pointer?: string;

  @WordsField({ ...optional, description: 'The header, query or path parameter, when it is not the body.' })
  readonly parameter?: string;

  @WordsField()
  readonly detail!: string;

  @WordsField({ ...optional, description: 'What would be accepted there.' })
  readonly accepted?: string;
}

/** RFC 9457. `type` is stable: `/problems/<code>`. */
export class ProblemResponse {
  @WordsField({ example: '/problems/malformed' })
  readonly type!: string;

  @WordsField()
  readonly title!: string;

  @WholeNumberField({ min: 400, max: 599 })
  readonly status!: number;

  @WordsField({ ...optional })
  readonly detail?: string;

  @WordsField({ description: 'Names this occurrence; the log carries the same id.' })
  readonly instance!: string;

  @PartListField(() => ProblemErrorResponse, optional)
  readonly errors?: readonly ProblemErrorResponse[];
}
