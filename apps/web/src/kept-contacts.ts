import type { FirstAidStep, Site } from './api.js';

/** What stands at the top of every page, signed in or not: whom to call and what to do first. */
export interface Contacts {
  readonly siteName: string;
  readonly emergency: Site['emergency'];
  readonly occupationalHealth: string;
  readonly onCallClinician: string | null;
  readonly firstAid: readonly Pick<FirstAidStep, 'code' | 'words' | 'minutes'>[];
}

const KEY = 'innerglove.contacts';

/**
 * Keeps the numbers in the browser, so that they are there before a sign-in and without the network. Telephone numbers and
 * general first aid only: nothing about a person is ever stored here.
 */
export function keepContacts(site: Site): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(contactsOf(site)));
  } catch {
    // A browser that stores nothing still shows the numbers while the page is open.
  }
}

export function contactsOf(site: Site): Contacts {
  return {
    siteName: site.name,
    emergency: site.emergency,
    occupationalHealth: site.occupationalHealth.telephone,
    onCallClinician: site.onCallClinician?.telephone ?? null,
    firstAid: site.firstAid.map(({ code, words, minutes }) => ({ code, words, minutes })),
  };
}

export function keptContacts(): Contacts | null {
  try {
    const kept = localStorage.getItem(KEY);
    return kept ? (JSON.parse(kept) as Contacts) : null;
  } catch {
    return null;
  }
}
