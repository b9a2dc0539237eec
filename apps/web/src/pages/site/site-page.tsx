import '../../style/cases.css';
import { useSite } from '../../session.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Refusal } from '../../shell/refusal.js';
import { AccountsPart } from './accounts-part.js';
import { PersonPart } from './person-part.js';
import { SettingsPart } from './settings-part.js';

/** What the administrator keeps: whom to call, who may sign in. No clinical fact is here. */
export function SitePage() {
  const site = useSite();
  return (
    <>
      <PageHeading title="Site" />
      <Refusal error={site.error} />
      {site.isPending && <p role="status">Reading the site</p>}
      {site.data && (
        <>
          <p>
            {site.data.name}, on the clock of {site.data.timeZone}, {site.data.units.length} units.
          </p>
          {site.data.settings && <SettingsPart settings={site.data.settings} />}
          <AccountsPart site={site.data} />
          <PersonPart site={site.data} />
        </>
      )}
    </>
  );
}
