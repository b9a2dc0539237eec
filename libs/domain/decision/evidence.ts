/**
 * How a statement came into the rulebook, strongest first: `read` in the issuer's own text; `second-hand` in a reprint or
 * summary; `derived` by us from a rule that was read; `remembered`, which nobody has looked up yet.
 */
export type EvidenceGrade = 'read' | 'second-hand' | 'derived' | 'remembered';

/** Where a statement can be looked up. */
export interface Source {
  /** The issuing body, for example `CDC`. */
  readonly body: string;
  readonly title: string;
  /** Year of issue, or the fuller date where the body revised it within a year. */
  readonly year: string;
  /** Table, row or section. */
  readonly section?: string;
  readonly address?: string;
}

/** What a rule, window, threshold, dose or time limit rests on. */
export interface Evidence {
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
}
