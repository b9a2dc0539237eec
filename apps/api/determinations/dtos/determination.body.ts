import { ChoiceField, CodeField, IdField, PartField, TextField } from '../../edge/fields.js';
import { SecondClinicianBody } from '../../session/dtos/session.body.js';

export class DeterminationBody {
  @IdField()
  readonly incidentId!: string;

  @ChoiceField(['confirm', 'depart'], { description: 'Confirms the assessment, or departs from it with a reason.' })
  readonly decision!: 'confirm' | 'depart';

  @CodeField({ optional: true, description: 'When departing: a category of the same table.' })
  readonly categoryId?: string;

  @TextField({ optional: true, min: 1, max: 2000 })
  readonly reason?: string;

  @PartField(() => SecondClinicianBody, { optional: true, description: 'Needed below the interim category.' })
  readonly secondClinician?: SecondClinicianBody;
}
