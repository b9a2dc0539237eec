import { Button } from 'react-aria-components/Button';
import { Disclosure, DisclosurePanel } from 'react-aria-components/Disclosure';
import { Heading } from 'react-aria-components/Heading';
import type { Contacts } from '../kept-contacts.js';
import { FirstAidList } from './first-aid.js';

/** Always first: whom to call now, and what to do before anything is typed. */
export function Lifeline({ contacts }: { contacts: Contacts | null }) {
  return (
    <aside className="lifeline" aria-label="Emergency">
      {contacts ? (
        <p className="lifeline-calls">
          <span className="lifeline-call">
            Emergency <Telephone number={contacts.emergency.telephone} />
          </span>
          <span className="lifeline-call">
            Occupational health <Telephone number={contacts.occupationalHealth} />
          </span>
          {contacts.onCallClinician && (
            <span className="lifeline-call lifeline-call-third">
              On-call clinician <Telephone number={contacts.onCallClinician} />
            </span>
          )}
        </p>
      ) : (
        <p className="lifeline-calls">
          <span className="lifeline-call">Life in danger: call your hospital’s emergency number now.</span>
        </p>
      )}
      <Disclosure className="lifeline-first-aid">
        <Heading level={2}>
          <Button slot="trigger">First aid</Button>
        </Heading>
        <DisclosurePanel>
          {contacts && <p>{contacts.emergency.words}</p>}
          <FirstAidList steps={contacts?.firstAid ?? []} />
          {contacts?.onCallClinician && (
            <p>
              On-call clinician, day and night <Telephone number={contacts.onCallClinician} />
            </p>
          )}
        </DisclosurePanel>
      </Disclosure>
    </aside>
  );
}

/** A number to be read across a room, and to be called where the device can. */
export function Telephone({ number }: { number: string }) {
  return (
    <a className="telephone" href={`tel:${number.replace(/[^+0-9*#]/g, '')}`}>
      {number}
    </a>
  );
}
