import { Button } from 'react-aria-components/Button';
import type { Ensemble, Site } from '../../api.js';
import { FirstAidList } from '../../shell/first-aid.js';
import { Telephone } from '../../shell/lifeline.js';
import { PageHeading } from '../../shell/page-heading.js';

/** Before any question: out, first aid, whom to call. The tablet can wait. */
export function StartPage({ ensemble, site, onOut }: { ensemble: Ensemble; site: Site; onOut: () => void }) {
  return (
    <div className="report-start">
      <p className="never-used-for">
        A report is never used for discipline, for rating anyone or for comparing people. It is used to look after you.
      </p>
      <PageHeading title="Report a breach">Out first, then first aid. The questions can wait.</PageHeading>
      <div className="before">
        <section aria-labelledby="inside">
          <h2 id="inside">Still inside</h2>
          <ul>
            {ensemble.breachRules.patientCare.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
        <section aria-labelledby="taking-off">
          <h2 id="taking-off">Taking off</h2>
          <ul>
            {ensemble.breachRules.removal.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
        <section aria-labelledby="call">
          <h2 id="call">Call</h2>
          <p>{site.emergency.words}</p>
          <ul className="calls">
            <li>
              Emergency <Telephone number={site.emergency.telephone} />
            </li>
            <li>
              Occupational health <Telephone number={site.occupationalHealth.telephone} />
            </li>
            {site.onCallClinician && (
              <li>
                On-call clinician, day and night <Telephone number={site.onCallClinician.telephone} />
              </li>
            )}
          </ul>
        </section>
      </div>
      <section aria-labelledby="out" className="first-aid-columns">
        <h2 id="out">Out: first aid</h2>
        <FirstAidList steps={site.firstAid} />
      </section>
      <div className="go-on">
        <Button className="tile tile-act tile-wide" onPress={onOut}>
          <span className="tile-words">I am out and first aid is done</span>
          <span className="tile-note">
            The questions start. The tablet stays on the clean side; only the buddy’s hands touch it.
          </span>
        </Button>
      </div>
    </div>
  );
}
