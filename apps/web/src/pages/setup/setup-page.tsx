import '../../style/cases.css';
import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type SetupBody } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { TextEntry } from '../../shell/fields.js';
import { PageHeading } from '../../shell/page-heading.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';

/** The token stands behind the number sign of the link, so that no proxy and no log ever gets it. */
function tokenInAddress(): string {
  return new URLSearchParams(window.location.hash.slice(1)).get('token') ?? '';
}

const START = {
  siteName: '',
  timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  units: '',
  emergencyWords: '',
  emergencyTelephone: '',
  occupationalHealthTelephone: '',
  occupationalHealthEmail: '',
  onCallTelephone: '',
  login: '',
  password: '',
  passwordAgain: '',
};

function bodyOf(token: string, typed: typeof START): SetupBody {
  return {
    token,
    siteName: typed.siteName.trim(),
    timeZone: typed.timeZone.trim(),
    units: typed.units
      .split('\n')
      .map((unit) => unit.trim())
      .filter((unit) => unit !== ''),
    emergency: { words: typed.emergencyWords.trim(), telephone: typed.emergencyTelephone.trim() },
    occupationalHealth: {
      telephone: typed.occupationalHealthTelephone.trim(),
      email: typed.occupationalHealthEmail.trim(),
    },
    ...(typed.onCallTelephone.trim() ? { onCallClinician: { telephone: typed.onCallTelephone.trim() } } : {}),
    login: typed.login.trim(),
    password: typed.password,
  };
}

/** Sets up the site and its first administrator, once, with the link that the service printed. */
export function SetupPage() {
  const [token] = useState(tokenInAddress);
  const [typed, setTyped] = useState(START);
  const [missed, setMissed] = useState<string>();
  const setUp = useAct((body: SetupBody) => api.setUp(body), { changes: [['session']] });
  const entry = (
    field: keyof typeof START,
    label: string,
    pointer: string,
    more: Pick<Parameters<typeof TextEntry>[0], 'type' | 'help' | 'isLong' | 'autoComplete'> = {},
  ) => (
    <TextEntry
      label={label}
      value={typed[field]}
      onChange={(value) => setTyped({ ...typed, [field]: value })}
      fault={faultAt(setUp.error, pointer)}
      {...more}
    />
  );
  return (
    <main id="content" className="page page-bare">
      <PageHeading title="Set up Innerglove" />
      {setUp.isSuccess ? (
        <>
          <p role="status">{typed.siteName} is set up. The link is used up now.</p>
          <p>
            <a href="/">Sign in as {typed.login}</a>, then add the people who wear the protective clothing, and the
            nurses who look after them.
          </p>
        </>
      ) : token === '' ? (
        <p>
          This page needs the link that the service printed when it was first started. It is good once and for a day; a
          new start prints a new one.
        </p>
      ) : (
        <Form
          onSubmit={(event) => {
            event.preventDefault();
            const isSame = typed.password === typed.passwordAgain;
            setMissed(isSame ? undefined : 'The two passwords differ.');
            if (isSame) setUp.mutate(bodyOf(token, typed));
          }}
        >
          <h2>The site</h2>
          <div className="side-by-side">
            {entry('siteName', 'Name of the hospital or site', '/siteName')}
            {entry('timeZone', 'Its clock', '/timeZone', { help: 'A zone name, for example Europe/London' })}
          </div>
          {entry('units', 'Units where the protective clothing is worn', '/units', {
            isLong: true,
            help: 'One a line',
          })}
          <h2>Whom to call</h2>
          <div className="side-by-side">
            {entry('emergencyWords', 'Emergency: words', '/emergency/words', { help: 'Stand first on every page' })}
            {entry('emergencyTelephone', 'Emergency: number', '/emergency/telephone', { type: 'tel' })}
          </div>
          <div className="side-by-side">
            {entry('occupationalHealthTelephone', 'Occupational health: number', '/occupationalHealth/telephone', {
              type: 'tel',
            })}
            {entry('occupationalHealthEmail', 'Occupational health: mail', '/occupationalHealth/email', {
              type: 'email',
            })}
          </div>
          {entry('onCallTelephone', 'On-call clinician: number', '/onCallClinician', {
            type: 'tel',
            help: 'Empty when there is none; mail wakes nobody',
          })}
          <h2>The first administrator</h2>
          {entry('login', 'Sign-in name', '/login', { autoComplete: 'username' })}
          <div className="side-by-side">
            {entry('password', 'Password', '/password', { type: 'password', autoComplete: 'new-password' })}
            <TextEntry
              label="Password, once more"
              type="password"
              autoComplete="new-password"
              value={typed.passwordAgain}
              onChange={(passwordAgain) => setTyped({ ...typed, passwordAgain })}
              fault={missed}
            />
          </div>
          <Refusal
            error={withoutFields(setUp.error, [
              '/siteName',
              '/timeZone',
              '/units',
              '/emergency',
              '/occupationalHealth',
              '/onCallClinician',
              '/login',
              '/password',
            ])}
          />
          <ActButton type="submit" isBusy={setUp.isPending}>
            Set up this site
          </ActButton>
        </Form>
      )}
    </main>
  );
}
