import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from './act-button.js';
import { api, type Session } from '../api.js';
import { keptContacts } from '../kept-contacts.js';
import { useParcels } from '../outbox.js';
import { TextEntry } from './fields.js';
import { FirstAidList } from './first-aid.js';
import { PageHeading } from './page-heading.js';
import { Refusal } from './refusal.js';

/** Sign-in; also stands over a page whose session ran out, which keeps what was typed on it. */
export function SignIn({ onSignedIn, ranOut }: { onSignedIn: (session: Session) => void; ranOut: boolean }) {
  const [login, setLogin] = useState('');
  const [password, setPassword] = useState('');
  const waiting = useParcels().filter(({ sending }) => sending.state === 'not-yet-sent').length;
  const signIn = useMutation({ mutationFn: () => api.signIn(login, password), onSuccess: onSignedIn });
  const contacts = keptContacts();
  return (
    <div className="sign-in">
      <div>
        <PageHeading title="Sign in" />
        {ranOut ? (
          <p>Your sign-in has run out. What you typed is kept on this page; sign in again to go on.</p>
        ) : (
          <p>
            To report that protective clothing failed, or to see your own follow-up
            {contacts ? ` at ${contacts.siteName}` : ''}. First aid needs no sign-in.
          </p>
        )}
        {waiting > 0 && (
          <p className="waits" role="status">
            {waiting === 1 ? '1 report is' : `${waiting} reports are`} not yet sent. The person who made it signs in
            here to send it; until then do not close this page.
          </p>
        )}
        <Form
          onSubmit={(event) => {
            event.preventDefault();
            signIn.mutate();
          }}
        >
          <TextEntry label="Sign-in name" value={login} onChange={setLogin} autoComplete="username" isRequired />
          <TextEntry
            label="Password"
            type="password"
            value={password}
            onChange={setPassword}
            autoComplete="current-password"
            isRequired
          />
          <Refusal error={signIn.error} />
          <ActButton type="submit" isBusy={signIn.isPending}>
            Sign in
          </ActButton>
        </Form>
      </div>
      <section className="first-things" aria-labelledby="first-things">
        <h2 id="first-things">Before you sign in: first aid</h2>
        <FirstAidList steps={contacts?.firstAid ?? []} />
      </section>
    </div>
  );
}
