import type { EvidenceGrade, Source } from './evidence.js';
import type { Level } from './table.js';

/** An action with the evidence it rests on. */
export interface AssessedAction {
  readonly code: string;
  readonly words: string;
  /** It only asks more of the person, so it may be said before anybody has signed. */
  readonly atOnce: boolean;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
}

/** A question whose answer could still change the category, best to ask first. */
export interface OpenQuestion {
  readonly fact: string;
  /** Answers that are still possible given what is known. */
  readonly values: readonly string[];
  /** Every answer to this one question would settle the category. */
  readonly settlesAlone: boolean;
  /** The category words that each answer would leave reachable. */
  readonly leaves: Readonly<Record<string, readonly string[]>>;
}

export interface NearestChange {
  /** The least set of known facts that would have to differ. */
  readonly changes: readonly { readonly fact: string; readonly from: string; readonly to: string }[];
  readonly category: string;
}

export interface Explanation {
  /** Plain sentences: the rule, the facts it used, the adjustment, what is open. */
  readonly words: string;
  readonly row: string | null;
  readonly factsUsed: Readonly<Record<string, string>>;
  readonly adjustments: readonly { readonly id: string; readonly words: string }[];
  readonly nearestChange: NearestChange | null;
}

/**
 * What a table says of one set of facts. Unsettled, `category`, `level` and `actions` are those of the worst outcome that
 * is still reachable, `rule` is null, and `grade` is the weakest over every rule that could still fire.
 */
export interface Assessment {
  readonly table: string;
  readonly version: string;
  /** SHA-256, hexadecimal, of the table's RFC 8785 form. */
  readonly hash: string;
  /** In the issuer's words; `not classified by this authority` where it left the combination open. */
  readonly category: string;
  readonly categoryId: string;
  readonly actions: readonly AssessedAction[];
  /** Null for `not classified`, which is never level 0. */
  readonly level: Level | null;
  readonly settled: boolean;
  /** Category words, worst first. */
  readonly reachable: readonly string[];
  readonly openQuestions: readonly OpenQuestion[];
  readonly rule: string | null;
  readonly grade: EvidenceGrade;
  readonly sources: readonly Source[];
  readonly explanation: Explanation;
  readonly cautions: readonly string[];
}
