import { weakestGrade, type CompiledTable, type EvidenceGrade } from '#domain';
import type { Rulebook } from '../ports/rulebook.js';
import type { LocalConfirmation, SiteSettings } from '../records/people.js';
import { confirmationOf, isLive } from '../reporting/governing.js';

export interface TableCard {
  readonly id: string;
  readonly version: string;
  readonly hash: string;
  readonly authority: string;
  readonly title: string;
  readonly validFrom: string;
  readonly validUntil: string | null;
  readonly supersededBy: string | null;
  /** How many rules it has. */
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

export function tableCard(
  rulebook: Rulebook,
  edition: CompiledTable,
  settings: SiteSettings,
  confirmations: readonly LocalConfirmation[],
): TableCard {
  const { table, hash } = edition;
  const ref = `${table.id}@${table.version}`;
  const confirmation = confirmationOf(edition, confirmations);
  const own = settings.governing;
  const ruledHere = new Set(own.map(({ agent }) => agent));
  const rules = [...own, ...rulebook.defaultGoverning.filter(({ agent }) => !ruledHere.has(agent))];
  return {
    id: table.id,
    version: table.version,
    hash,
    authority: table.authority,
    title: table.title,
    validFrom: table.validFrom,
    validUntil: table.validUntil ?? null,
    supersededBy: table.supersededBy ?? null,
    rules: table.rules.length,
    weakestGrade: weakestGrade([...table.rules, ...table.adjustments].map(({ grade }) => grade)),
    needsConfirmation: rulebook.needsConfirmation(ref),
    confirmed: confirmation && { by: confirmation.confirmedByName, at: confirmation.at },
    live: isLive(rulebook, edition, confirmations),
    governs: rules
      .filter((rule) => rule.table === ref || (rule.table === table.id && rulebook.table(table.id).hash === hash))
      .map(({ agent, certainty, profile }) => ({ agent, certainty, profile })),
  };
}
