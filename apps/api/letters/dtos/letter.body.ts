import { ChoiceField, IdField } from '../../edge/fields.js';

export class LetterBody {
  @IdField()
  readonly incidentId!: string;

  @ChoiceField(['referral'])
  readonly kind!: 'referral';

  @ChoiceField(['A4', 'LETTER'], { optional: true })
  readonly paper?: 'A4' | 'LETTER';
}
