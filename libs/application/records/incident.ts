import type {
  Assessment,
  BarrierPicture,
  Breach,
  Facts,
  Instant,
  LocalDate,
  QuantityRange,
  Seen,
  Stage,
  Ternary,
  TimeZone,
} from '#domain';

export const INCIDENT_KINDS = ['breach', 'lapse', 'near-miss'] as const;
/** A near miss was caught before any exposure: it has no plan and is counted apart. */
export type IncidentKind = (typeof INCIDENT_KINDS)[number];

export const LAPSES = ['face-touched', 'order-changed', 'step-missed', 'soiled-surface-touched'] as const;
export type Lapse = (typeof LAPSES)[number];

export const TASKS = [
  'personal-care',
  'turning-or-lifting',
  'blood-sampling',
  'cannulation',
  'airway-procedure',
  'wound-care',
  'cleaning-spill',
  'waste-or-linen',
  'specimen-handling',
  'after-death-care',
  'other',
  'not-known',
] as const;
export type Task = (typeof TASKS)[number];

export const FLUIDS = [
  'none',
  'blood',
  'vomit',
  'faeces',
  'urine',
  'saliva-or-sputum',
  'sweat',
  'amniotic-or-birth-fluid',
  'other-body-fluid',
  'disinfectant-only',
  'unknown',
] as const;
export type Fluid = (typeof FLUIDS)[number];

export const FIRST_AID_ACTIONS = [
  'washed-soap-and-water',
  'irrigated-eyes',
  'rinsed-mouth-or-nose',
  'covered-wound',
  'changed-clothing',
  'none-yet',
] as const;
export type FirstAidAction = (typeof FIRST_AID_ACTIONS)[number];

export const CERTAINTIES = ['confirmed', 'suspected', 'unknown'] as const;
export type Certainty = (typeof CERTAINTIES)[number];

/** When it happened. Hour limits run from the earliest instant, day windows from the latest. */
export interface OccurredInterval {
  readonly from: Instant;
  readonly until: Instant;
  readonly timeZone: TimeZone;
}

/** The coded part of a report. Free text and identity are kept apart, sealed. */
export interface IncidentContent {
  readonly kind: IncidentKind;
  readonly occurred: OccurredInterval;
  readonly leftAreaAt: Instant | null;
  readonly stage: Stage;
  readonly step: string | null;
  readonly breaches: readonly Breach[];
  readonly lapses: readonly Lapse[];
  readonly foundWhole: readonly string[];
  readonly task: Task;
  readonly fluid: Fluid;
  readonly seen: Seen;
  readonly firstAid: readonly { readonly action: FirstAidAction; readonly at: Instant | null }[];
  readonly anyoneElse: Ternary;
  readonly agent: string;
  readonly certainty: Certainty;
  readonly callMe: boolean;
  /** Further answers in the vocabulary `facts/v1`, for example `aerosolProcedure`. */
  readonly facts: Readonly<Record<string, string | number | QuantityRange | null>>;
  /** Entered although it looked implausible, and raised to the nurse. */
  readonly confirmedImplausible: boolean;
}

export type IncidentState = 'open' | 'determined' | 'released';

export interface IncidentRecord {
  readonly incidentId: string;
  readonly eventId: string;
  readonly reportId: string;
  readonly personId: string;
  readonly unitId: string;
  readonly ensembleId: string;
  readonly ensembleVersion: string;
  readonly state: IncidentState;
  /** Counts reports, amendments and determinations; it is the incident's ETag. */
  readonly revision: number;
  readonly sourceId: string | null;
  readonly reportedAt: Instant;
  readonly reportedByAccount: string | null;
  readonly identityConfirmedAt: Instant | null;
  readonly content: IncidentContent;
}

/** One telling of the incident: the report, or an amendment to it. Never overwritten. */
export interface TellingRecord {
  readonly incidentId: string;
  readonly revision: number;
  readonly kind: 'report' | 'amendment';
  readonly content: IncidentContent;
  /** The free text, opened; null where the reader may not have it. */
  readonly account: string | null;
  readonly buddy: string | null;
  readonly byAccount: string | null;
  readonly at: Instant;
}

export interface AssessmentRecord {
  readonly assessmentId: string;
  readonly incidentId: string;
  readonly revision: number;
  readonly factsVersion: string;
  readonly facts: Facts;
  readonly result: Assessment;
  readonly barrier: BarrierPicture;
  /** The profile that the plan is made from. */
  readonly profile: string;
  /** Why this table governs, or why the cautious default stands in. */
  readonly governing: string;
  readonly madeAt: Instant;
}

export interface DeterminationRecord {
  readonly determinationId: string;
  readonly incidentId: string;
  /** The revision that the nurse had read. */
  readonly onRevision: number;
  readonly assessmentId: string;
  readonly categoryId: string;
  readonly category: string;
  readonly departs: boolean;
  readonly reason: string | null;
  readonly signedBy: string;
  /** The name as it was signed, kept sealed beside the reason; null where the reader may not have it. */
  readonly signedByName: string | null;
  /** Required when the category is below the interim one. */
  readonly secondClinician: string | null;
  /** As `signedByName`. */
  readonly secondClinicianName: string | null;
  readonly at: Instant;
}

export const SOURCE_STATUSES = ['suspected', 'confirmed', 'ruled-out'] as const;
export type SourceStatus = (typeof SOURCE_STATUSES)[number];

/** A patient, known by a pseudonym only. */
export interface SourceRecord {
  readonly sourceId: string;
  readonly pseudonym: string;
  readonly statuses: readonly SourceStatusRecord[];
}

export interface SourceStatusRecord {
  readonly status: SourceStatus;
  readonly agent: string;
  readonly onDate: LocalDate;
  readonly sampledOn: LocalDate | null;
  readonly byAccount: string;
  readonly at: Instant;
}
