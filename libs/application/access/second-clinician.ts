import type { SecondClinicianCredentials } from '../answer.js';
import type { AccountRecord, Actor } from '../records/people.js';
import { SecondClinicianRefused } from '../refusals.js';
import type { CredentialCheck } from './credential-check.js';

/**
 * Signs in a second nurse beside the first, before a transaction is open: hashing takes longer than everything in it.
 * Null when none is offered.
 */
export async function secondClinicianOf(
  credentials: CredentialCheck,
  offered: SecondClinicianCredentials | null | undefined,
  actor: Actor,
): Promise<AccountRecord | null> {
  if (!offered) return null;
  const account = await credentials.verify(offered.login, offered.password);
  // One answer for every fault of the sign-in, so that passwords cannot be tried out here.
  if (account?.role !== 'nurse' || account.siteId !== actor.siteId) {
    throw new SecondClinicianRefused('The second clinician could not be signed in.');
  }
  const samePerson = account.personId !== null && account.personId === actor.personId;
  if (account.accountId === actor.accountId || samePerson) {
    throw new SecondClinicianRefused('The second clinician has to be somebody else than the first.');
  }
  return account;
}

/** Nobody signs their own case, not as the second one either. */
export function requireNotTheWearer(second: AccountRecord | null, wearerId: string): void {
  if (second !== null && second.personId === wearerId) {
    throw new SecondClinicianRefused('The second clinician may not be the wearer.');
  }
}
