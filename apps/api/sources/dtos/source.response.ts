import { SOURCE_STATUSES, type IncidentState, type SourceStatus } from '#application';
import {
  ChoiceField,
  CodeField,
  FlagField,
  IdField,
  InstantField,
  LocalDateField,
  PartField,
  PartListField,
  WordsField,
  WholeNumberField,
} from '../../edge/fields.js';
import { INCIDENT_STATES } from '../../incidents/dtos/incident.response.js';
import { PlanDifferenceResponse } from '../../plans/dtos/plan-difference.response.js';

export class SourceStatusResponse {
  @ChoiceField(SOURCE_STATUSES)
  readonly status!: SourceStatus;

  @CodeField()
  readonly agent!: string;

  @LocalDateField()
  readonly onDate!: string;

  @LocalDateField({ nullable: true })
  readonly sampledOn!: string | null;

  @InstantField()
  readonly at!: string;
}

/** A patient, known by a pseudonym only. */
export class SourceResponse {
  @IdField()
  readonly sourceId!: string;

  @WordsField()
  readonly pseudonym!: string;

  @PartListField(() => SourceStatusResponse)
  readonly statuses!: readonly SourceStatusResponse[];
}

export class SourceListResponse {
  @PartListField(() => SourceResponse)
  readonly items!: readonly SourceResponse[];
}

/** What the change means for one incident of this source. What would loosen waits for a signature. */
export class LinkedIncidentResponse {
  @IdField()
  readonly incidentId!: string;

  @InstantField()
  readonly reportedAt!: string;

  @ChoiceField(INCIDENT_STATES)
  readonly state!: IncidentState;

  @WholeNumberField()
  readonly revision!: number;

  @PartField(() => PlanDifferenceResponse, { nullable: true })
  readonly difference!: PlanDifferenceResponse | null;

  @FlagField()
  readonly tightenedAtOnce!: boolean;

  @FlagField({ description: 'It was released, and the window of the new agent is still open.' })
  readonly reopened!: boolean;

  @FlagField()
  readonly needsDetermination!: boolean;
}

export class ChangedSourceResponse {
  @PartField(() => SourceResponse)
  readonly source!: SourceResponse;

  @PartListField(() => LinkedIncidentResponse)
  readonly linked!: readonly LinkedIncidentResponse[];
}
