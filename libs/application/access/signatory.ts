import type { Transaction } from '../ports/unit-of-work.js';

/**
 * The name under which somebody signs: their own, as it is on record. An account that belongs to nobody signs with its
 * login; everybody may read that of the own account, and the second clinician brings theirs.
 */
export async function signatoryName(
  tx: Transaction,
  signer: { readonly personId: string | null; readonly accountId: string | null; readonly login?: string },
): Promise<string> {
  const { personId, accountId, login } = signer;
  const identity = personId === null ? undefined : (await tx.people.identities([personId])).get(personId);
  if (identity) return identity.name;
  if (login !== undefined) return login;
  const own = (await tx.site.accounts()).find((account) => account.accountId === accountId);
  return own?.login ?? 'Occupational health';
}
