import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { api, type Plan, type Site } from '../../api.js';
import { Between, Day } from '../../shell/moment.js';
import { useNow } from '../../shell/now.js';
import { Refusal } from '../../shell/refusal.js';
import { INCIDENT_KIND_WORDS, INCIDENT_STATE_WORDS, WORK_WORDS, wordsFor } from '../../words.js';
import { DuenessInWords, duenessOf } from './dueness.js';
import { ReadingEntry } from './reading-entry.js';
import { Readings } from './readings.js';

/** One's own follow-up: how long, what work, what is due, and what others can see of it. */
export function OwnFollowUp({ plans, site }: { plans: readonly Plan[]; site: Site }) {
  const running = plans.filter(({ state }) => state === 'running');
  return (
    <>
      {running.length === 0 && <p>You are in no follow-up.</p>}
      {running.length > 1 && <p>A reading counts for the follow-up in which it is entered.</p>}
      {running.map((plan) => (
        <OwnPlan key={plan.planId} plan={plan} site={site} isOnly={running.length === 1} />
      ))}
      <OwnReports site={site} />
    </>
  );
}

/** Mildest first. */
const STRICTNESS = Object.keys(WORK_WORDS);

function OwnPlan({ plan, site, isOnly }: { plan: Plan; site: Site; isOnly: boolean }) {
  const now = useNow();
  const dueness = duenessOf(plan, now);
  // Of several restrictions the strictest holds.
  const strictest = plan.restrictions.toSorted((a, b) => STRICTNESS.indexOf(b.work) - STRICTNESS.indexOf(a.work))[0];
  return (
    <section className="own-plan">
      <h2>
        Until the end of <Day date={plan.lastDay} timeZone={plan.timeZone} />
      </h2>
      {strictest && (
        <p>
          <strong>{WORK_WORDS[strictest.work]}</strong>, until the end of{' '}
          <Day date={strictest.until} timeZone={plan.timeZone} />.
        </p>
      )}
      <ul>
        {plan.restrictions.map(({ code, profile, words }) => (
          <li key={code + profile}>{words}</li>
        ))}
      </ul>
      <p className={dueness.isOverdue || dueness.now ? 'waits' : undefined}>
        <DuenessInWords dueness={dueness} timeZone={plan.timeZone} />
      </p>
      <details open={isOnly}>
        <summary>Readings</summary>
        <div className="round-readings">
          <ReadingEntry plan={plan} site={site} whose={null} />
          <div>
            <Readings plan={plan} site={site} />
            <h3>Call at once for any of these</h3>
            <ul>
              {plan.symptoms.map(({ code, words }) => (
                <li key={code}>{words}</li>
              ))}
            </ul>
            <h3>What your manager sees</h3>
            <p>
              Your name, what work you may do, and how many days are left or when it is looked at again. Never why. From
              the number of days somebody may guess at the kind of infection; tell occupational health if that worries
              you.
            </p>
          </div>
        </div>
      </details>
    </section>
  );
}

function OwnReports({ site }: { site: Site }) {
  const incidents = useQuery({ queryKey: ['incidents', 'own'], queryFn: () => api.incidents({ limit: 50 }) });
  return (
    <section>
      <h2>Your reports</h2>
      <Refusal error={incidents.error} />
      {incidents.data?.items.length === 0 && <p>You have made no report.</p>}
      <ul className="timeline">
        {incidents.data?.items.map(({ incidentId, kind, occurred, state }) => (
          <li key={incidentId}>
            <Link to="/cases/$incidentId" params={{ incidentId }}>
              {wordsFor(INCIDENT_KIND_WORDS, kind)}
            </Link>
            <span>
              <Between from={occurred.from} until={occurred.until} timeZone={site.timeZone} />;{' '}
              {wordsFor(INCIDENT_STATE_WORDS, state)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
