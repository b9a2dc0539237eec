import { IdField, WordsField } from '../../edge/fields.js';

/** Whose case it is, as far as the reader may know; what the reader may not know is null. */
export class WearerResponse {
  @IdField({ nullable: true })
  readonly personId!: string | null;

  @WordsField()
  readonly pseudonym!: string;

  @WordsField()
  readonly job!: string;

  @WordsField({ nullable: true })
  readonly name!: string | null;

  @WordsField({ nullable: true })
  readonly staffNumber!: string | null;

  @WordsField({ nullable: true })
  readonly telephone!: string | null;
}
