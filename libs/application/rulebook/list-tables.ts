import type { EvidenceGrade } from '#domain';
import type { Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

export interface TableCard {
  readonly id: string;
  readonly version: string;
  readonly hash: string;
  readonly authority: string;
  readonly title: string;
  readonly validFrom: string;
  readonly validUntil: string | null;
  readonly supersededBy: string | null;
  readonly rules: number;
  readonly weakestGrade: EvidenceGrade;
  /** Ids of the rules that were remembered. */
  readonly needsConfirmation: readonly string[];
  /** Who confirmed them at this site, and when. */
  readonly confirmed: { readonly by: string; readonly at: string } | null;
  /** Whether it may govern at this site. */
  readonly live: boolean;
  /** For which agents it governs here. */
  readonly governs: readonly { readonly agent: string; readonly certainty: string; readonly profile: string }[];
}

/** Every table of the rulebook, and whether it may govern here. */
export class ListTables {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
  ) {}

  execute(_actor: Actor): Promise<readonly TableCard[]> {
    throw new Error('This use case is not built yet.');
  }
}
