import { ALERT_OUTCOMES, type AlertOutcome } from '#application';
import { ChoiceField, TextField } from '../../edge/fields.js';

export class OutcomeBody {
  @ChoiceField(ALERT_OUTCOMES)
  readonly outcome!: AlertOutcome;

  @TextField({ min: 1, max: 2000, description: 'What was decided, in words.' })
  readonly decided!: string;
}
