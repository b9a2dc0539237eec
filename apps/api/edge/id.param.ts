import { IdField } from './fields.js';

/** Path parameters. An id of another form is malformed, not "not found". */
export class IncidentIdParam {
  @IdField()
  readonly incidentId!: string;
}

export class PlanIdParam {
  @IdField()
  readonly planId!: string;
}

export class AlertIdParam {
  @IdField()
  readonly alertId!: string;
}

export class LetterIdParam {
  @IdField()
  readonly letterId!: string;
}

export class SourceIdParam {
  @IdField()
  readonly sourceId!: string;
}

/** Lists that belong to one incident. */
export class OfIncidentQuery {
  @IdField()
  readonly incidentId!: string;
}
