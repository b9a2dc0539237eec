import '../../style/cases.css';
import '../../style/round.css';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { api, type Plan, type Site } from '../../api.js';
import { useSession, useSite } from '../../session.js';
import { Day } from '../../shell/moment.js';
import { useNow } from '../../shell/now.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Refusal } from '../../shell/refusal.js';
import { nameOf } from '../cases/queue-page.js';
import { OwnFollowUp } from './own-follow-up.js';
import { duenessOf, DuenessInWords } from './dueness.js';
import { ReadingEntry } from './reading-entry.js';
import { Readings } from './readings.js';

/** The round of readings: everybody in follow-up for the nurse, one's own for the wearer. */
export function RoundPage() {
  const { role } = useSession();
  const site = useSite();
  const plans = useQuery({ queryKey: ['plans'], queryFn: api.plans, refetchInterval: 30_000 });
  const title = role === 'wearer' ? 'Your follow-up' : 'Round';
  return (
    <>
      <PageHeading title={title} />
      <Refusal error={plans.error ?? site.error} />
      {plans.isPending && <p role="status">Reading the follow-ups</p>}
      {plans.data &&
        site.data &&
        (role === 'wearer' ? (
          <OwnFollowUp plans={plans.data.items} site={site.data} />
        ) : (
          <Round plans={plans.data.items} site={site.data} />
        ))}
    </>
  );
}

const MOST_NAMES = 200;

function Round({ plans, site }: { plans: readonly Plan[]; site: Site }) {
  const now = useNow();
  const incidents = useQuery({
    queryKey: ['incidents', 'names'],
    queryFn: () => api.incidents({ limit: MOST_NAMES }),
    staleTime: 60_000,
  });
  const wearerOf = (plan: Plan) =>
    incidents.data?.items.find(({ incidentId }) => incidentId === plan.incidentId)?.wearer;
  const rows = plans
    .filter(({ state }) => state === 'running')
    .map((plan) => ({ plan, dueness: duenessOf(plan, now) }))
    .sort((a, b) => a.dueness.order - b.dueness.order);
  if (rows.length === 0) return <p>Nobody is in follow-up.</p>;
  return (
    <ul className="round">
      {rows.map(({ plan, dueness }) => {
        const wearer = wearerOf(plan);
        const name = wearer ? nameOf(wearer) : 'Name not known';
        return (
          <li key={plan.planId} className="round-line">
            <div className="round-head">
              <h2>
                <Link to="/cases/$incidentId" params={{ incidentId: plan.incidentId }}>
                  {name}
                </Link>
              </h2>
              <p>
                Until the end of <Day date={plan.lastDay} timeZone={plan.timeZone} />
              </p>
              <p className={dueness.isOverdue ? 'act-now' : undefined}>
                <DuenessInWords dueness={dueness} timeZone={plan.timeZone} />
              </p>
            </div>
            <details>
              <summary>Readings of {name}</summary>
              <div className="round-readings">
                <Readings plan={plan} site={site} />
                <ReadingEntry plan={plan} site={site} whose={name} />
              </div>
            </details>
          </li>
        );
      })}
    </ul>
  );
}
