import { SOURCE_STATUSES, type SourceStatus } from '#application';
import { ChoiceField, CodeField, LocalDateField, TextField } from '../../edge/fields.js';

export class SourceBody {
  @TextField({ min: 1, max: 80, description: 'What the ward calls the patient here: never a name.' })
  readonly pseudonym!: string;
}

export class SourceStatusBody {
  @ChoiceField(SOURCE_STATUSES)
  readonly status!: SourceStatus;

  @CodeField()
  readonly agent!: string;

  @LocalDateField()
  readonly onDate!: string;

  @LocalDateField({ optional: true })
  readonly sampledOn?: string;
}
