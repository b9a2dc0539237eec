import type { EvidenceGrade } from '#domain';
import { ChoiceField, PartListField, WordsField } from '../../edge/fields.js';

export const GRADES = ['read', 'second-hand', 'derived', 'remembered'] as const satisfies readonly EvidenceGrade[];

/** Where a statement can be looked up. */
export class PublishedSourceResponse {
  @WordsField()
  readonly body!: string;

  @WordsField()
  readonly title!: string;

  @WordsField()
  readonly year!: string;

  @WordsField({ optional: true })
  readonly section?: string;

  @WordsField({ optional: true })
  readonly address?: string;
}

export class EvidenceResponse {
  @ChoiceField(GRADES, { description: 'How the statement came into the rulebook; the weakest that it rests on.' })
  readonly grade!: EvidenceGrade;

  @PartListField(() => PublishedSourceResponse)
  readonly sources!: readonly PublishedSourceResponse[];
}
