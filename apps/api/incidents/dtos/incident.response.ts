import {
  CERTAINTIES,
  FIRST_AID_ACTIONS,
  FLUIDS,
  INCIDENT_KINDS,
  LAPSES,
  TASKS,
  type Certainty,
  type FirstAidAction,
  type Fluid,
  type IncidentKind,
  type IncidentState,
  type Lapse,
  type Task,
} from '#application';
import {
  EXTENTS,
  MANNERS,
  STAGES,
  ZONES,
  type Breach,
  type Level,
  type QuantityRange,
  type Stage,
  type Ternary,
  type Zone,
} from '#domain';
import { AlertResponse } from '../../alerts/dtos/alert.response.js';
import { AssessmentRecordResponse } from '../../assessments/dtos/assessment.response.js';
import { DeterminationResponse } from '../../determinations/dtos/determination.response.js';
import {
  ChoiceField,
  ChoiceListField,
  CodeField,
  CodeListField,
  FlagField,
  IdField,
  InstantField,
  MapField,
  PartField,
  PartListField,
  TernaryField,
  WordsField,
  TimeZoneField,
  WholeNumberField,
} from '../../edge/fields.js';
import { LetterResponse } from '../../letters/dtos/letter.response.js';
import { WearerResponse } from '../../people/dtos/wearer.response.js';
import { PlanResponse } from '../../plans/dtos/plan.response.js';
import { BarrierResponse } from './barrier.response.js';
import { ANSWER_SCHEMA } from './report.body.js';

export const INCIDENT_STATES = ['open', 'determined', 'released'] as const satisfies readonly IncidentState[];

export class OccurredResponse {
  @InstantField()
  readonly from!: string;

  @InstantField()
  readonly until!: string;

  @TimeZoneField()
  readonly timeZone!: string;
}

export class BreachResponse {
  @CodeField()
  readonly layer!: string;

  @ChoiceField([...EXTENTS, 'unknown'])
  readonly extent!: Breach['extent'];

  @ChoiceField([...MANNERS, 'unknown'])
  readonly manner!: Breach['manner'];
}

export class SeenResponse {
  @TernaryField()
  readonly skinWet!: Ternary;

  @TernaryField()
  readonly skinCut!: Ternary;

  @ChoiceListField(ZONES)
  readonly zones!: readonly Zone[];

  @TernaryField()
  readonly eyeSplash!: Ternary;

  @TernaryField()
  readonly mouthNoseSplash!: Ternary;

  @TernaryField()
  readonly sharpsInjury!: Ternary;

  @TernaryField()
  readonly brokenSkinBefore!: Ternary;
}

export class FirstAidDoneResponse {
  @ChoiceField(FIRST_AID_ACTIONS)
  readonly action!: FirstAidAction;

  @InstantField({ nullable: true })
  readonly at!: string | null;
}

/** The coded answers as they stand. `unknown` is an answer of its own. */
export class IncidentContentResponse {
  @ChoiceField(INCIDENT_KINDS)
  readonly kind!: IncidentKind;

  @PartField(() => OccurredResponse)
  readonly occurred!: OccurredResponse;

  @InstantField({ nullable: true })
  readonly leftAreaAt!: string | null;

  @ChoiceField(STAGES)
  readonly stage!: Stage;

  @CodeField({ nullable: true })
  readonly step!: string | null;

  @PartListField(() => BreachResponse)
  readonly breaches!: readonly BreachResponse[];

  @ChoiceListField(LAPSES)
  readonly lapses!: readonly Lapse[];

  @CodeListField()
  readonly foundWhole!: readonly string[];

  @ChoiceField(TASKS)
  readonly task!: Task;

  @ChoiceField(FLUIDS)
  readonly fluid!: Fluid;

  @PartField(() => SeenResponse)
  readonly seen!: SeenResponse;

  @PartListField(() => FirstAidDoneResponse)
  readonly firstAid!: readonly FirstAidDoneResponse[];

  @TernaryField()
  readonly anyoneElse!: Ternary;

  @CodeField()
  readonly agent!: string;

  @ChoiceField(CERTAINTIES)
  readonly certainty!: Certainty;

  @FlagField()
  readonly callMe!: boolean;

  @MapField(ANSWER_SCHEMA)
  readonly facts!: Readonly<Record<string, string | number | QuantityRange | null>>;

  @FlagField({ description: 'Entered although it looked implausible.' })
  readonly confirmedImplausible!: boolean;
}

export class IncidentResponse {
  @IdField()
  readonly incidentId!: string;

  @IdField()
  readonly eventId!: string;

  @IdField()
  readonly reportId!: string;

  @IdField()
  readonly unitId!: string;

  @WordsField()
  readonly unitName!: string;

  @CodeField()
  readonly ensembleId!: string;

  @WordsField()
  readonly ensembleVersion!: string;

  @ChoiceField(INCIDENT_STATES)
  readonly state!: IncidentState;

  @WholeNumberField({ description: 'Its ETag.' })
  readonly revision!: number;

  @IdField({ nullable: true })
  readonly sourceId!: string | null;

  @WordsField({ nullable: true, description: 'Pseudonym of the source.' })
  readonly source!: string | null;

  @InstantField()
  readonly reportedAt!: string;

  @InstantField({ nullable: true })
  readonly identityConfirmedAt!: string | null;

  @PartField(() => WearerResponse)
  readonly wearer!: WearerResponse;

  @PartField(() => IncidentContentResponse)
  readonly content!: IncidentContentResponse;
}

/** The report, or an amendment to it. Never overwritten. */
export class TellingResponse {
  @IdField()
  readonly incidentId!: string;

  @WholeNumberField()
  readonly revision!: number;

  @ChoiceField(['report', 'amendment'])
  readonly kind!: 'report' | 'amendment';

  @PartField(() => IncidentContentResponse)
  readonly content!: IncidentContentResponse;

  @WordsField({ nullable: true })
  readonly account!: string | null;

  @WordsField({ nullable: true })
  readonly buddy!: string | null;

  @InstantField()
  readonly at!: string;
}

/** Everything about one incident that the reader may see. */
export class IncidentFileResponse {
  @PartField(() => IncidentResponse)
  readonly incident!: IncidentResponse;

  @PartListField(() => TellingResponse)
  readonly tellings!: readonly TellingResponse[];

  @PartListField(() => AssessmentRecordResponse, { description: 'Oldest first.' })
  readonly assessments!: readonly AssessmentRecordResponse[];

  @PartListField(() => DeterminationResponse)
  readonly determinations!: readonly DeterminationResponse[];

  @PartField(() => PlanResponse, { nullable: true })
  readonly plan!: PlanResponse | null;

  @PartListField(() => AlertResponse)
  readonly alerts!: readonly AlertResponse[];

  @PartListField(() => LetterResponse)
  readonly letters!: readonly LetterResponse[];

  @PartField(() => BarrierResponse)
  readonly barrier!: BarrierResponse;
}

export class ListedIncidentResponse {
  @IdField()
  readonly incidentId!: string;

  @IdField()
  readonly eventId!: string;

  @InstantField()
  readonly reportedAt!: string;

  @PartField(() => OccurredResponse)
  readonly occurred!: OccurredResponse;

  @IdField()
  readonly unitId!: string;

  @ChoiceField(INCIDENT_KINDS)
  readonly kind!: IncidentKind;

  @ChoiceField(INCIDENT_STATES)
  readonly state!: IncidentState;

  @WholeNumberField()
  readonly revision!: number;

  @WordsField({ description: 'As determined, else as assessed; in the words of the issuing authority.' })
  readonly category!: string;

  @WholeNumberField({ max: 3, nullable: true })
  readonly level!: Level | null;

  @FlagField()
  readonly settled!: boolean;

  @WholeNumberField({ nullable: true, description: 'Null for a reader who gets no alerts.' })
  readonly openAlerts!: number | null;

  @FlagField()
  readonly identityConfirmed!: boolean;

  @PartField(() => WearerResponse)
  readonly wearer!: WearerResponse;
}

export class IncidentPageResponse {
  @PartListField(() => ListedIncidentResponse)
  readonly items!: readonly ListedIncidentResponse[];

  @WordsField({ nullable: true, description: 'Hand it in for the next page; null on the last.' })
  readonly nextCursor!: string | null;
}

export class ConfirmedIdentityResponse {
  @IdField()
  readonly incidentId!: string;

  @InstantField()
  readonly identityConfirmedAt!: string;
}
