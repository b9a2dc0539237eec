import { useMutation, useQueryClient, type Query } from '@tanstack/react-query';
import { Link, Outlet } from '@tanstack/react-router';
import { Suspense, useState } from 'react';
import { Button } from 'react-aria-components/Button';
import mark from '../layers/mark.svg';
import { ActButton } from './act-button.js';
import { api, type Session } from '../api.js';
import { contactsOf, keptContacts } from '../kept-contacts.js';
import { sendAgain, useParcels } from '../outbox.js';
import { placesOf, SessionProvider, useSessionQuery, useSetSession, useSite } from '../session.js';
import { Lifeline } from './lifeline.js';
import { Refusal } from './refusal.js';
import { SignIn } from './sign-in.js';

/** What stands round every page: the numbers to call, the places that this role may use, and the sign-in when needed. */
export function Frame() {
  const query = useSessionQuery();
  const client = useQueryClient();
  const setSession = useSetSession();
  // Who used this page last. When a session runs out their page stays, hidden, for them alone.
  const [holder, setHolder] = useState<Session | null>(null);
  const session = query.data ?? null;
  if (session && session.accountId !== holder?.accountId) setHolder(session);

  const onSignedIn = (next: Session) => {
    if (next.accountId !== holder?.accountId) client.removeQueries({ predicate: isAboutSomebody });
    else void client.invalidateQueries({ predicate: isAboutSomebody });
    setSession(next);
    sendAgain();
  };

  if (query.isPending) return <Bare>{null}</Bare>;
  if (query.isError) {
    return (
      <Bare>
        <h1>Not reachable</h1>
        <Refusal error={query.error} />
        <ActButton onPress={() => void query.refetch()}>Try again</ActButton>
      </Bare>
    );
  }
  return (
    <>
      {!session && (
        <Bare>
          <SignIn ranOut={holder !== null} onSignedIn={onSignedIn} />
        </Bare>
      )}
      {holder && (
        <div hidden={!session}>
          <SessionProvider key={holder.accountId} session={holder}>
            <Inside onSignedOut={() => setHolder(null)} />
          </SessionProvider>
        </div>
      )}
    </>
  );
}

/** Everything but the session itself: it must not be shown to the next person. */
function isAboutSomebody({ queryKey }: Query): boolean {
  return queryKey[0] !== 'session';
}

function Bare({ children }: { children: React.ReactNode }) {
  return (
    <>
      <SkipLink />
      <Lifeline contacts={keptContacts()} />
      <main id="content" className="page page-bare">
        {children}
      </main>
    </>
  );
}

function SkipLink() {
  return (
    <a className="skip-link" href="#content">
      Skip to the page
    </a>
  );
}

function Inside({ onSignedOut }: { onSignedOut: () => void }) {
  const { data: session } = useSessionQuery();
  const site = useSite();
  const client = useQueryClient();
  const setSession = useSetSession();
  const waiting = useParcels().filter(({ sending }) => sending.state === 'not-yet-sent').length;
  const signOut = useMutation({
    mutationFn: api.signOut,
    onSuccess: () => {
      onSignedOut();
      client.removeQueries({ predicate: isAboutSomebody });
      setSession(null);
    },
  });
  return (
    <>
      <SkipLink />
      <Lifeline contacts={site.data ? contactsOf(site.data) : keptContacts()} />
      <header className="masthead">
        <p className="wordmark">
          <img src={mark} alt="" width="32" height="32" /> Innerglove
        </p>
        <nav aria-label="Pages">
          <ul>
            {session &&
              placesOf(session.role).map(({ path, name }) => (
                <li key={path}>
                  <Link to={path} activeProps={{ 'aria-current': 'page' }}>
                    {name}
                  </Link>
                </li>
              ))}
          </ul>
        </nav>
        {session && (
          <p className="signed-in">
            {session.displayName}, {session.siteName}{' '}
            <Button className="quiet" onPress={() => signOut.mutate()} isDisabled={waiting > 0}>
              Sign out
            </Button>
            {waiting > 0 && (
              <span className="waits">
                {' '}
                {waiting === 1 ? '1 report' : `${waiting} reports`} not yet sent: stay signed in.
              </span>
            )}
          </p>
        )}
      </header>
      <main id="content" className="page">
        <Refusal error={signOut.error} />
        <Suspense fallback={<p role="status">Opening the page</p>}>
          <Outlet />
        </Suspense>
      </main>
    </>
  );
}
