import { InstantField, FlagField, IdField, PartField, TextField } from '../../edge/fields.js';
import { SecondClinicianBody } from '../../session/dtos/session.body.js';

export class ReleaseBody {
  @TextField({ optional: true, min: 1, max: 2000, description: 'Why before the window’s end.' })
  readonly early?: string;

  @PartField(() => SecondClinicianBody, { optional: true, description: 'Needed before the window’s end.' })
  readonly secondClinician?: SecondClinicianBody;
}

export class ReleasedPlanResponse {
  @IdField()
  readonly planId!: string;

  @IdField()
  readonly incidentId!: string;

  @InstantField()
  readonly releasedAt!: string;

  @FlagField()
  readonly early!: boolean;
}
