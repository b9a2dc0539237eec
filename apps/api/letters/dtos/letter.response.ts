import { ChoiceField, IdField, InstantField, PartListField, WordsField, WholeNumberField } from '../../edge/fields.js';

export class LetterResponse {
  @IdField()
  readonly letterId!: string;

  @IdField()
  readonly incidentId!: string;

  @ChoiceField(['referral'])
  readonly kind!: 'referral';

  @WholeNumberField({ description: 'The revision of the incident that it tells.' })
  readonly revision!: number;

  @WordsField({ description: 'SHA-256 of what it says, without the signature.' })
  readonly contentHash!: string;

  @IdField({ nullable: true })
  readonly signedBy!: string | null;

  @InstantField({ nullable: true })
  readonly signedAt!: string | null;

  @InstantField()
  readonly createdAt!: string;
}

export class LetterListResponse {
  @PartListField(() => LetterResponse)
  readonly items!: readonly LetterResponse[];
}
