import type { CompiledTable } from '#domain';
import type { Rulebook } from '../ports/rulebook.js';
import type { Certainty } from '../records/incident.js';
import type { GoverningRule, LocalConfirmation } from '../records/people.js';

/** Which table and profile decide at this site, and why these. */
export interface Governing {
  readonly edition: CompiledTable;
  /** Reference of the profile. */
  readonly profile: string;
  readonly why: string;
  /** False when the cautious default stands in for the table that a rule names. */
  readonly asRuled: boolean;
}

export function confirmationOf(
  { table, hash }: CompiledTable,
  confirmations: readonly LocalConfirmation[],
): LocalConfirmation | null {
  return (
    confirmations.find(
      (confirmation) =>
        confirmation.subject === table.id && confirmation.version === table.version && confirmation.hash === hash,
    ) ?? null
  );
}

/** A table with remembered rules is live at a site once somebody there has confirmed this very edition of it. */
export function isLive(
  rulebook: Rulebook,
  edition: CompiledTable,
  confirmations: readonly LocalConfirmation[],
): boolean {
  const { id, version } = edition.table;
  return rulebook.needsConfirmation(`${id}@${version}`).length === 0 || confirmationOf(edition, confirmations) !== null;
}

function ruleFor(rules: readonly GoverningRule[], agent: string, certainty: Certainty): GoverningRule | undefined {
  return rules.find((rule) => rule.agent === agent && (rule.certainty === 'any' || rule.certainty === certainty));
}

/**
 * The site's own rules first, then the rulebook's. A table that waits for a local confirmation does not govern: the
 * cautious default stands in, and says so.
 */
export function governingFor(
  rulebook: Rulebook,
  site: { readonly governing: readonly GoverningRule[]; readonly confirmations: readonly LocalConfirmation[] },
  agent: string,
  certainty: Certainty,
): Governing {
  const own = ruleFor(site.governing, agent, certainty);
  const rule = own ?? ruleFor(rulebook.defaultGoverning, agent, certainty);
  const standIn = (because: string): Governing => ({
    edition: rulebook.table(rulebook.fallback.table),
    profile: rulebook.fallback.profile,
    why: `${because}, so the cautious default applies.`,
    asRuled: false,
  });
  if (!rule) return standIn('No table of the rulebook governs this agent');
  const edition = rulebook.table(rule.table);
  const { id, version, authority } = edition.table;
  if (!isLive(rulebook, edition, site.confirmations)) {
    return standIn(`${id}@${version} governs this agent, but its remembered rules are not confirmed at this site`);
  }
  const set = own ? 'set by this site' : 'by default; this site has set no other';
  return {
    edition,
    profile: rule.profile,
    why: `${id}@${version} (${authority}) governs this agent, ${set}.`,
    asRuled: true,
  };
}
