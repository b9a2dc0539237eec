import type { Evidence } from './evidence.js';

/** The two definite answers; anything else that was asked is unknown, which is never read as "no". */
export type YesNo = 'yes' | 'no';
export type Ternary = YesNo | 'unknown';

/** A decimal kept exactly as written, for example `0.9144`. */
export type Decimal = string;

/** What kind of answer a fact takes. */
export type FactDefinition =
  | { readonly kind: 'yesNo' }
  | { readonly kind: 'choice'; readonly values: readonly string[] }
  /** A measured quantity: `unit` is a UCUM code (`min`, `m`, `m[IU]/mL`); the limits are inclusive. */
  | { readonly kind: 'quantity'; readonly unit: string; readonly min: Decimal; readonly max: Decimal };

/** A versioned vocabulary of facts, `facts/v1`. */
export interface FactVocabulary {
  readonly version: string;
  readonly facts: Readonly<Record<string, FactDefinition>>;
  /** A few plain words for each fact, as explanations and cautions name it; its code where there are none. */
  readonly names?: Readonly<Record<string, string>>;
}

/** A quantity known only within limits; an absent end is open. Both ends are inclusive. */
export interface QuantityRange {
  readonly min?: Decimal | number;
  readonly max?: Decimal | number;
}

/** One answer. Absent, `null` and `"unknown"` all mean that it is not known. */
export type FactAnswer = string | number | QuantityRange | null | undefined;
export type Facts = Readonly<Record<string, FactAnswer>>;

/** A line through a quantity: `>=` puts the value itself above the line, `>` below it. */
export interface CutPoint {
  readonly at: Decimal;
  readonly operator: '>=' | '>';
}

export interface TableInput {
  readonly fact: string;
  /** Required for quantities: the bands are derived from the cuts, so 0.9144 m (3 ft) and 1 m stay different. */
  readonly cuts?: readonly CutPoint[];
}

/** Conditions on a quantity must coincide with a declared cut. */
export interface QuantityCondition {
  readonly '>='?: Decimal;
  readonly '>'?: Decimal;
  readonly '<'?: Decimal;
  readonly '<='?: Decimal;
}

export type Condition = string | readonly string[] | { readonly not: string | readonly string[] } | QuantityCondition;
/** Every named fact must meet its condition; a fact that is not named may be anything. */
export type Conjunction = Readonly<Record<string, Condition>>;

export type Level = 0 | 1 | 2 | 3;
/** The outcome that every table has, for what its authority left open. It is never a level and always goes to a human. */
export const NOT_CLASSIFIED = 'not-classified';

export interface Category {
  readonly id: string;
  /** In the issuer's own words, never replaced or translated. Our wording is marked by `derived`. */
  readonly words: string;
  readonly derived?: boolean;
  /** Our common order, for sorting only. */
  readonly level: Level;
  /** Codes into `actions`. */
  readonly actions: readonly string[];
}

export interface TableAction extends Evidence {
  readonly words: string;
  /**
   * It only asks more of the person, so it is said before anybody has signed. What eases, is offered, needs a prescriber
   * or speaks to a service is not, and waits for the decision.
   */
  readonly atOnce?: boolean;
}

export interface RuleOutcome {
  /** A category id or `not-classified`. */
  readonly category: string;
  readonly actions?: readonly string[];
}

export interface Rule extends Evidence {
  readonly id: string;
  /** The row of the published table, where it has one. */
  readonly row?: string;
  /** One conjunction, or several of which any suffices. `{}` always holds. */
  readonly when: Conjunction | readonly Conjunction[];
  readonly then: RuleOutcome;
  /** The rule said in one plain sentence. */
  readonly words: string;
}

/** Raises the category that a base rule gave, by levels, up to the table's highest. */
export interface Adjustment extends Evidence {
  readonly id: string;
  /** Ids of the rules whose category it raises. */
  readonly appliesTo: readonly string[];
  readonly when: Conjunction | readonly Conjunction[];
  readonly raise: 1 | 2;
  readonly words: string;
}

/** A combination that cannot happen: left out of every proof, count and reachable set. */
export interface Impossible {
  readonly when: Conjunction;
  readonly why: string;
}

/** As in OMG DMN 1.5, section 8.2.8: `unique`, `first`, `priority` (order of the categories, worst first). */
export type HitPolicy = 'unique' | 'first' | 'priority';

export interface DecisionTable {
  readonly id: string;
  readonly version: string;
  readonly authority: string;
  readonly title: string;
  readonly validFrom: string;
  readonly validUntil?: string;
  readonly supersededBy?: string;
  readonly vocabulary: string;
  readonly hitPolicy: HitPolicy;
  readonly inputs: readonly TableInput[];
  /** Mildest first. */
  readonly categories: readonly Category[];
  readonly actions: Readonly<Record<string, TableAction>>;
  readonly impossible: readonly Impossible[];
  readonly rules: readonly Rule[];
  readonly adjustments: readonly Adjustment[];
  /** Whether several adjustments raise once in total or each once more. Sources that do not say: `once`. */
  readonly adjustmentsAdd: boolean;
  readonly cautions: readonly string[];
}
