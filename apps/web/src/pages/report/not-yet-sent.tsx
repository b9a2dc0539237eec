import { ActButton } from '../../shell/act-button.js';
import type { Site } from '../../api.js';
import { sendAgain, type Parcel } from '../../outbox.js';
import { useSetSession } from '../../session.js';
import { FirstAidList } from '../../shell/first-aid.js';
import { Telephone } from '../../shell/lifeline.js';
import { Moment } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';

/** The honest state of a report that the service has not confirmed, and what to do meanwhile. */
export function NotYetSent({ parcel, site }: { parcel: Parcel; site: Site }) {
  const setSession = useSetSession();
  const { sending } = parcel;
  if (sending.state === 'sending') {
    return (
      <>
        <PageHeading title="Sending the report" />
        <p role="status">It is kept once the service has confirmed it.</p>
      </>
    );
  }
  if (sending.state !== 'not-yet-sent') return null;
  return (
    <div className="not-yet-sent">
      <PageHeading title="This report is not yet sent" />
      <p className="waits" role="status">
        It is kept on this page only. Do not close the page or switch the device off. It is sent again by itself, with
        the same number, so that it arrives once.
      </p>
      <p>
        Last tried <Moment at={new Date(sending.triedAt).toISOString()} timeZone={site.timeZone} />
      </p>
      {sending.needsSignIn ? (
        <>
          <p>The sign-in has run out. The person who made this report signs in again to send it.</p>
          <ActButton onPress={() => setSession(null)}>Sign in again</ActButton>
        </>
      ) : (
        <ActButton onPress={() => sendAgain(parcel.body.reportId)}>Send it now</ActButton>
      )}
      <h2>Meanwhile</h2>
      <ul>
        <li>
          Telephone occupational health and say what happened: <Telephone number={site.occupationalHealth.telephone} />
        </li>
        <li>Until they have spoken to you, treat this as an exposure.</li>
      </ul>
      <FirstAidList steps={site.firstAid} />
    </div>
  );
}
