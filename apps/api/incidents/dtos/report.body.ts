import { PartialType } from '@nestjs/swagger';
import { ValidateBy, type ValidationOptions } from 'class-validator';
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
  type Lapse,
  type Task,
} from '#application';
import {
  EXTENTS,
  MANNERS,
  STAGES,
  ZONES,
  type Breach,
  type QuantityRange,
  type Stage,
  type Ternary,
  type Zone,
} from '#domain';
import {
  ChoiceField,
  ChoiceListField,
  ClientIdField,
  CodeField,
  CodeListField,
  FlagField,
  IdField,
  InstantField,
  MapField,
  PartField,
  PartListField,
  TernaryField,
  TextField,
  TimeZoneField,
  ValueField,
} from '../../edge/fields.js';

const optional = { optional: true } as const;

export class OccurredBody {
  @InstantField({ description: 'The instant, or the earliest it can have been: hour limits run from here.' })
  readonly from!: string;

  @InstantField({ ...optional, description: 'The latest it can have been: day windows run from here.' })
  readonly until?: string;

  @TimeZoneField()
  readonly timeZone!: string;
}

export class BreachBody {
  @CodeField({ description: 'A layer of the unit’s ensemble.' })
  readonly layer!: string;

  @ChoiceField([...EXTENTS, 'unknown'], optional)
  readonly extent?: Breach['extent'];

  @ChoiceField([...MANNERS, 'unknown'], optional)
  readonly manner?: Breach['manner'];
}

export class SeenBody {
  @TernaryField(optional)
  readonly skinWet?: Ternary;

  @TernaryField(optional)
  readonly skinCut?: Ternary;

  @ChoiceListField(ZONES, { ...optional, description: 'Where; empty when not known.' })
  readonly zones?: readonly Zone[];

  @TernaryField(optional)
  readonly eyeSplash?: Ternary;

  @TernaryField(optional)
  readonly mouthNoseSplash?: Ternary;

  @TernaryField(optional)
  readonly sharpsInjury?: Ternary;

  @TernaryField(optional)
  readonly brokenSkinBefore?: Ternary;
}

export class FirstAidBody {
  @ChoiceField(FIRST_AID_ACTIONS)
  readonly action!: FirstAidAction;

  @InstantField(optional)
  readonly at?: string;
}

/** The reporter, or the colleague for whom the buddy types. */
export type Wearer = 'self' | { readonly staffNumber: string };

function isWearer(value: unknown): boolean {
  if (value === 'self') return true;
  if (typeof value !== 'object' || value === null || Object.keys(value).join() !== 'staffNumber') return false;
  const { staffNumber } = value as { staffNumber: unknown };
  return typeof staffNumber === 'string' && staffNumber.length > 0 && staffNumber.length <= 40;
}

const IsWearer = (options: ValidationOptions) =>
  ValidateBy({ name: 'isWearer', validator: { validate: isWearer } }, options);

const WEARER_SCHEMA = {
  oneOf: [
    { type: 'string', enum: ['self'] },
    {
      type: 'object',
      properties: { staffNumber: { type: 'string', minLength: 1, maxLength: 40 } },
      required: ['staffNumber'],
      additionalProperties: false,
    },
  ],
};

export const ANSWER_SCHEMA = {
  anyOf: [
    { type: 'string' },
    { type: 'number' },
    {
      type: 'object',
      properties: {
        min: { anyOf: [{ type: 'string' }, { type: 'number' }] },
        max: { anyOf: [{ type: 'string' }, { type: 'number' }] },
      },
    },
    { type: 'null' },
  ],
};

/** What can be told, and amended later. Everything that is left out is unknown. */
export class TellingBody {
  @ChoiceField(INCIDENT_KINDS)
  readonly kind!: IncidentKind;

  @PartField(() => OccurredBody)
  readonly occurred!: OccurredBody;

  @InstantField(optional)
  readonly leftAreaAt?: string;

  @ChoiceField(STAGES)
  readonly stage!: Stage;

  @CodeField({ ...optional, description: 'While removing: the step that was being done.' })
  readonly step?: string;

  @PartListField(() => BreachBody, optional)
  readonly breaches?: readonly BreachBody[];

  @ChoiceListField(LAPSES, optional)
  readonly lapses?: readonly Lapse[];

  @CodeListField({ ...optional, description: 'Layers that somebody looked at after removal and found whole.' })
  readonly foundWhole?: readonly string[];

  @ChoiceField(TASKS, optional)
  readonly task?: Task;

  @ChoiceField(FLUIDS, optional)
  readonly fluid?: Fluid;

  @PartField(() => SeenBody, optional)
  readonly seen?: SeenBody;

  @PartListField(() => FirstAidBody, optional)
  readonly firstAid?: readonly FirstAidBody[];

  @TextField({ ...optional, max: 120, description: 'Who watched.' })
  readonly buddy?: string;

  @TernaryField({ ...optional, description: 'Whether anybody else was exposed in the same event.' })
  readonly anyoneElse?: Ternary;

  @CodeField({ ...optional, description: 'What the patient has, or may have.' })
  readonly agent?: string;

  @ChoiceField(CERTAINTIES, optional)
  readonly certainty?: Certainty;

  @TextField({ ...optional, min: 1, max: 80, description: 'The patient’s pseudonym, never a name.' })
  readonly source?: string;

  @FlagField({ description: 'Occupational health is to telephone.' })
  readonly callMe!: boolean;

  @MapField(ANSWER_SCHEMA, { ...optional, description: 'Further answers in the vocabulary facts/v1.' })
  readonly facts?: Readonly<Record<string, string | number | QuantityRange | null>>;

  @TextField({ ...optional, max: 4000, description: 'In the wearer’s own words; kept sealed.' })
  readonly account?: string;

  @FlagField({ ...optional, description: 'An implausible answer was looked at again and stands.' })
  readonly confirmed?: boolean;
}

/** One person’s part in what happened. Five answers are enough: who, which layer or lapse, stage, skin wet or cut, call me. */
export class ReportBody extends TellingBody {
  @ClientIdField({ description: 'Made by the client, once a report: sending it again never doubles it.' })
  readonly reportId!: string;

  @IdField({ ...optional, description: 'The event, when a colleague’s report began it.' })
  readonly eventId?: string;

  @ValueField(WEARER_SCHEMA, { accepted: '"self", or {"staffNumber": "…"}', rules: [IsWearer] })
  readonly wearer!: Wearer;

  @IdField(optional)
  readonly unitId?: string;
}

export class TellingChangesBody extends PartialType(TellingBody) {}

export class AmendmentBody {
  @PartField(() => TellingChangesBody, { description: 'Only what is told otherwise now.' })
  readonly changes!: TellingChangesBody;

  @TextField({ ...optional, max: 4000 })
  readonly account?: string;
}
