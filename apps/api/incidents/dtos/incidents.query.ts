import { Type } from 'class-transformer';
import type { IncidentState } from '#application';
import { ChoiceField, TextField, WholeNumberField } from '../../edge/fields.js';
import { INCIDENT_STATES } from './incident.response.js';

export class IncidentsQuery {
  @ChoiceField(INCIDENT_STATES, { optional: true })
  readonly state?: IncidentState;

  @TextField({ optional: true, min: 1, max: 400, description: '`nextCursor` of the page before.' })
  readonly cursor?: string;

  @Type(() => Number)
  @WholeNumberField({ optional: true, min: 1, max: 200 })
  readonly limit?: number;
}
