import { IdField, PartListField } from '../../edge/fields.js';
import { PlanResponse } from './plan.response.js';

export class PlansQuery {
  @IdField({
    optional: true,
    description: 'A nurse names a person, or nobody for all running plans; a wearer gets the own ones.',
  })
  readonly personId?: string;
}

export class OfPlanQuery {
  @IdField()
  readonly planId!: string;
}

export class PlanListResponse {
  @PartListField(() => PlanResponse)
  readonly items!: readonly PlanResponse[];
}
