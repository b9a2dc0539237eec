import type { AgentProfile, CompiledTable, Ensemble, EvidenceGrade, FactVocabulary, RouteFacts, Source } from '#domain';
import type { GoverningRule } from '../records/people.js';

/** First aid by route; only irrigation has a time. */
export interface FirstAidStep {
  readonly code: string;
  readonly words: string;
  readonly minutes: number | null;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
}

/** The part of the rulebook that use cases read. */
export interface Rulebook {
  readonly vocabulary: FactVocabulary;
  readonly questions: Readonly<Record<string, FactQuestion>>;
  readonly defaultGoverning: readonly GoverningRule[];
  /** What stands in where no table for the agent is live; it needs no confirmation itself. */
  readonly fallback: Pick<GoverningRule, 'table' | 'profile'>;
  tables(): readonly CompiledTable[];
  /** By `id` (the newest) or `id@version`. */
  table(ref: string): CompiledTable;
  profiles(): readonly AgentProfile[];
  profile(ref: string): AgentProfile;
  agents(): readonly { readonly code: string; readonly name: string }[];
  ensembles(): readonly Ensemble[];
  ensemble(id: string, version?: string): Ensemble;
  firstAid(routes: RouteFacts): readonly FirstAidStep[];
  /** Ids of remembered rules; empty when the table can go live without a local confirmation. */
  needsConfirmation(ref: string): readonly string[];
}

export interface FactQuestion {
  /** A few words for it, as they stand in a list. */
  readonly name: string;
  readonly question: string;
  readonly help: string;
  readonly values?: Readonly<Record<string, string>>;
}
