import { PERMITTED_WORK, type PermittedWork } from '#domain';
import {
  ChoiceField,
  IdField,
  LocalDateField,
  PartListField,
  WordsField,
  WholeNumberField,
} from '../../edge/fields.js';

/** What a manager may know: the work that is permitted and until when. */
export class DutyLineResponse {
  @WordsField({ description: 'Stands for the person in the duty list; random, and not the person’s id.' })
  readonly rosterRef!: string;

  @WordsField()
  readonly name!: string;

  @IdField()
  readonly unitId!: string;

  @ChoiceField(PERMITTED_WORK)
  readonly work!: PermittedWork;

  @WordsField({ description: 'The permitted work in words.' })
  readonly words!: string;

  @WholeNumberField({ nullable: true })
  readonly daysRemaining!: number | null;

  @LocalDateField({ nullable: true, description: 'The last day, once a nurse has set it.' })
  readonly until!: string | null;

  @LocalDateField({ nullable: true, description: 'When it is looked at again, until then.' })
  readonly nextReview!: string | null;
}

export class WorkCountResponse {
  @ChoiceField(PERMITTED_WORK)
  readonly work!: PermittedWork;

  @WordsField()
  readonly words!: string;

  @WholeNumberField()
  readonly count!: number;
}

export class DutyListResponse {
  @PartListField(() => DutyLineResponse, { nullable: true, description: 'Null for a reader who gets counts only.' })
  readonly lines!: readonly DutyLineResponse[] | null;

  @PartListField(() => WorkCountResponse)
  readonly counts!: readonly WorkCountResponse[];
}
