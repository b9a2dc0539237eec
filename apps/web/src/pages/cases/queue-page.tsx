import '../../style/cases.css';
import { useInfiniteQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { ActButton } from '../../shell/act-button.js';
import { api, type ListedIncident, type Site } from '../../api.js';
import { useSite } from '../../session.js';
import { Between, Moment } from '../../shell/moment.js';
import { PageHeading } from '../../shell/page-heading.js';
import { Refusal } from '../../shell/refusal.js';
import { INCIDENT_KIND_WORDS, levelInWords, wordsFor } from '../../words.js';

const PAGE = 100;

/** A reader who does not answer alerts is not told of any. */
function isUrgent({ openAlerts }: ListedIncident): boolean {
  return (openAlerts ?? 0) > 0;
}

/** Who needs what, most urgent first. The order within a group is the service's. */
const GROUPS: readonly {
  readonly id: string;
  readonly title: string;
  readonly none: string;
  readonly holds: (incident: ListedIncident) => boolean;
}[] = [
  {
    id: 'now',
    title: 'Needs somebody now',
    none: 'Nobody waits for a call or an answer.',
    holds: isUrgent,
  },
  {
    id: 'decision',
    title: 'Waits for a decision',
    none: 'Every report is decided.',
    holds: (incident) => !isUrgent(incident) && incident.state === 'open',
  },
  {
    id: 'running',
    title: 'Decided',
    none: 'No decided case is open.',
    holds: (incident) => !isUrgent(incident) && incident.state === 'determined',
  },
  {
    id: 'released',
    title: 'Released',
    none: 'Nobody was released yet.',
    holds: (incident) => !isUrgent(incident) && incident.state === 'released',
  },
];

/** The queue of incidents by urgency. */
export function QueuePage() {
  const site = useSite();
  const incidents = useInfiniteQuery({
    queryKey: ['incidents'],
    queryFn: ({ pageParam }) => api.incidents({ limit: PAGE, ...(pageParam ? { cursor: pageParam } : {}) }),
    initialPageParam: '',
    getNextPageParam: ({ nextCursor }) => nextCursor,
    refetchInterval: 20_000,
  });
  const items = incidents.data?.pages.flatMap((page) => page.items) ?? [];
  return (
    <>
      <PageHeading title="Cases" />
      <Refusal error={incidents.error ?? site.error} />
      {incidents.isPending && <p role="status">Reading the cases</p>}
      {incidents.data && site.data && (
        <>
          {GROUPS.map(({ id, title, none, holds }) => {
            const held = items.filter(holds);
            return (
              <section key={id} aria-labelledby={`${id}-heading`} className={`queue queue-${id}`}>
                <h2 id={`${id}-heading`}>
                  {title} <span className="count">{held.length}</span>
                </h2>
                {held.length === 0 && <p className="soft">{none}</p>}
                {held.length > 0 && (
                  <Folded isFolded={id === 'released'} words={`Show the ${held.length} released`}>
                    <ul className="queue-list">
                      {held.map((incident) => (
                        <QueueLine key={incident.incidentId} incident={incident} site={site.data} />
                      ))}
                    </ul>
                  </Folded>
                )}
              </section>
            );
          })}
          {incidents.hasNextPage && (
            <ActButton isSecond isBusy={incidents.isFetchingNextPage} onPress={() => void incidents.fetchNextPage()}>
              Older cases
            </ActButton>
          )}
        </>
      )}
    </>
  );
}

/** What needs nobody is folded away, in reach. */
function Folded({ isFolded, words, children }: { isFolded: boolean; words: string; children: ReactNode }) {
  if (!isFolded) return children;
  return (
    <details>
      <summary>{words}</summary>
      {children}
    </details>
  );
}

/** The name where the reader may have it, else the pseudonym. */
export function nameOf({ name, pseudonym }: ListedIncident['wearer']): string {
  return name ?? pseudonym;
}

function QueueLine({ incident, site }: { incident: ListedIncident; site: Site }) {
  const { wearer, occurred, category, level, settled, state, openAlerts, identityConfirmed } = incident;
  const unit = site.units.find(({ unitId }) => unitId === incident.unitId)?.name ?? 'unit not known';
  const waits = [
    isUrgent(incident) && (openAlerts === 1 ? '1 alert open' : `${openAlerts} alerts open`),
    state !== 'released' && !identityConfirmed && 'identity not confirmed',
    state === 'open' && 'not decided',
  ].filter((each) => each !== false);
  return (
    <li className="queue-line">
      <div>
        <Link to="/cases/$incidentId" params={{ incidentId: incident.incidentId }} className="queue-name">
          {nameOf(wearer)}
        </Link>
        <p className="soft">
          {wearer.job}, {unit}
        </p>
      </div>
      <div>
        <p>
          {wordsFor(INCIDENT_KIND_WORDS, incident.kind)}{' '}
          <Between from={occurred.from} until={occurred.until} timeZone={site.timeZone} />
        </p>
        <p className="soft">
          Reported <Moment at={incident.reportedAt} timeZone={site.timeZone} />
        </p>
      </div>
      <div>
        <p>
          <strong>{category}</strong>, {levelInWords(level)}
        </p>
        {!settled && <p className="soft">Not settled: the worst that is still possible</p>}
      </div>
      <p className={isUrgent(incident) ? 'act-now' : 'waits'}>{waits.join('; ')}</p>
    </li>
  );
}
