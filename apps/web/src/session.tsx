import { useQuery, useQueryClient } from '@tanstack/react-query';
import { createContext, use, type ReactNode } from 'react';
import { api, Problem, type Role, type Session, type Site } from './api.js';
import { keepContacts } from './kept-contacts.js';

const SESSION = ['session'];

/** Who is signed in: undefined while it is being asked, null when nobody is. */
export function useSessionQuery() {
  return useQuery({
    queryKey: SESSION,
    queryFn: async (): Promise<Session | null> => {
      try {
        return await api.session();
      } catch (error) {
        if (error instanceof Problem && error.isSignedOut) return null;
        throw error;
      }
    },
    staleTime: Infinity,
  });
}

/** Puts what a sign-in answered in place of what was known about the session. */
export function useSetSession() {
  const client = useQueryClient();
  return (session: Session | null) => {
    client.setQueryData(SESSION, session);
  };
}

const SessionContext = createContext<Session | null>(null);

export function SessionProvider({ session, children }: { session: Session; children: ReactNode }) {
  return <SessionContext value={session}>{children}</SessionContext>;
}

/** The session of the page; only pages behind the sign-in call this. */
export function useSession(): Session {
  const session = use(SessionContext);
  if (!session) throw new Error('This page stands behind the sign-in.');
  return session;
}

/** Numbers, ensembles and the words of the form. Kept while the page is open, so that a report can be made offline. */
export function useSite() {
  return useQuery({
    queryKey: ['site'],
    queryFn: async (): Promise<Site> => {
      const site = await api.site();
      keepContacts(site);
      return site;
    },
    staleTime: 10 * 60_000,
    gcTime: Infinity,
  });
}

/** A page, its name from the work, and who may use it. */
export interface Place {
  readonly path: string;
  readonly name: string;
  readonly roles: readonly Role[];
}

/** In the order in which the navigation shows them; the first that a role may use is where it starts. */
export const PLACES: readonly Place[] = [
  { path: '/cases', name: 'Cases', roles: ['nurse', 'infection-control'] },
  { path: '/report', name: 'Report', roles: ['wearer', 'nurse'] },
  { path: '/round', name: 'Round', roles: ['wearer', 'nurse'] },
  { path: '/team', name: 'Team', roles: ['manager'] },
  { path: '/learning', name: 'Learning', roles: ['infection-control', 'nurse'] },
  { path: '/rulebook', name: 'Rulebook', roles: ['nurse', 'infection-control'] },
  { path: '/site', name: 'Site', roles: ['administrator'] },
];

export function placesOf(role: Role): readonly Place[] {
  return PLACES.filter(({ roles }) => roles.includes(role));
}
