import { useSyncExternalStore } from 'react';
import { v7 as newId } from 'uuid';
import { api, Problem, Unreachable, type ReportAnswer, type ReportBody } from './api.js';

/** What became of a report that was sent from this page. */
export type Sending =
  | { readonly state: 'sending' }
  /** Not confirmed by the service: it is sent again, with the same ids, until it is. */
  | { readonly state: 'not-yet-sent'; readonly triedAt: number; readonly needsSignIn: boolean }
  | { readonly state: 'kept'; readonly answer: ReportAnswer }
  | { readonly state: 'refused'; readonly problem: Problem };

export interface Parcel {
  readonly accountId: string;
  readonly body: ReportBody;
  /** One key for one body: a corrected report gets a new one, a repeated one never. */
  readonly key: string;
  readonly sending: Sending;
}

const LONGEST_WAIT = 30_000;

/** Refusals that say nothing about the report: too many at once, or the first sending is still being worked on. */
const MAY_STILL_COME = new Set(['too-many-requests', 'in-progress']);

let parcels: readonly Parcel[] = [];
const listeners = new Set<() => void>();
const waits = new Map<string, number>();

function put(parcel: Parcel) {
  const others = parcels.filter(({ body }) => body.reportId !== parcel.body.reportId);
  parcels = [...others, parcel];
  for (const listener of listeners) listener();
}

async function attempt(parcel: Parcel) {
  put({ ...parcel, sending: { state: 'sending' } });
  try {
    // Somebody else may have signed in meanwhile, here or in another window: "self" would then be the wrong person.
    const session = await api.session();
    if (session.accountId !== parcel.accountId)
      throw new Problem(401, 'unauthenticated', 'Another person is signed in', '', []);
    const answer = await api.report(parcel.body, parcel.key);
    waits.delete(parcel.body.reportId);
    put({ ...parcel, sending: { state: 'kept', answer } });
  } catch (error) {
    if (error instanceof Problem && !error.isSignedOut && !MAY_STILL_COME.has(error.code)) {
      put({ ...parcel, sending: { state: 'refused', problem: error } });
      return;
    }
    if (!(error instanceof Problem) && !(error instanceof Unreachable)) throw error;
    put({
      ...parcel,
      sending: {
        state: 'not-yet-sent',
        triedAt: Date.now(),
        needsSignIn: error instanceof Problem && error.status === 401,
      },
    });
    const wait = Math.min((waits.get(parcel.body.reportId) ?? 1000) * 2, LONGEST_WAIT);
    waits.set(parcel.body.reportId, wait);
    setTimeout(() => sendAgain(parcel.body.reportId), wait);
  }
}

/** Sends what is still not sent, now and not when its wait is over. */
export function sendAgain(reportId?: string): void {
  for (const parcel of parcels) {
    if (parcel.sending.state !== 'not-yet-sent') continue;
    if (reportId === undefined || parcel.body.reportId === reportId) void attempt(parcel);
  }
}

/** Takes a report and sends it until the service has confirmed or refused it. Held in memory, nowhere else. */
export function sendReport(accountId: string, body: ReportBody): void {
  void attempt({ accountId, body, key: newId(), sending: { state: 'sending' } });
}

/** Forgets a report that was kept or refused. One that is not yet sent stays. */
export function letGo(reportId: string): void {
  parcels = parcels.filter(
    ({ body, sending }) =>
      body.reportId !== reportId || sending.state === 'sending' || sending.state === 'not-yet-sent',
  );
  for (const listener of listeners) listener();
}

function subscribe(listener: () => void) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Every report that left the form on this page and was not let go. */
export function useParcels(): readonly Parcel[] {
  return useSyncExternalStore(subscribe, () => parcels);
}

window.addEventListener('online', () => sendAgain());
window.addEventListener('beforeunload', (event) => {
  if (parcels.some(({ sending }) => sending.state === 'sending' || sending.state === 'not-yet-sent')) {
    event.preventDefault();
  }
});
