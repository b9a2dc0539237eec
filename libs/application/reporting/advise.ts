import type { EvidenceGrade, Source } from '#domain';

export interface AdvisedAction {
  readonly words: string;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
}

export interface AdvisedFirstAid extends AdvisedAction {
  readonly code: string;
  /** Only irrigation has a time. */
  readonly minutes: number | null;
}

/** A step of the removal sequence that is still to be done, as the buddy reads it aloud. */
export interface AdvisedRemovalStep {
  readonly id: string;
  readonly words: string;
  readonly layers: readonly string[];
  readonly checks: readonly string[];
  /** This step takes off a layer that failed. */
  readonly breached: boolean;
}

/** What to do now, in the order in which it is read. It never names the category. */
export interface Advice {
  readonly emergency: { readonly words: string; readonly telephone: string };
  readonly telephones: readonly { readonly who: string; readonly telephone: string }[];
  readonly firstAid: readonly AdvisedFirstAid[];
  readonly removal: {
    /** What the failure of a layer at this stage asks for, before the next step. */
    readonly rule: readonly string[];
    /** What goes before the sequence because of the route, for example a sharp or an eye. */
    readonly exceptions: readonly string[];
    readonly steps: readonly AdvisedRemovalStep[];
    /** For somebody who collapses. */
    readonly emergency: readonly string[];
  };
  readonly untilAsked: readonly AdvisedAction[];
  readonly cautions: readonly string[];
}
