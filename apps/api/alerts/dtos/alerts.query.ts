import { ChoiceField, IdField } from '../../edge/fields.js';

export class AlertsQuery {
  @ChoiceField(['true', 'false'], { optional: true })
  readonly open?: 'true' | 'false';

  @IdField({ optional: true })
  readonly incidentId?: string;
}
