import { compareInstants, NOT_CLASSIFIED, type Instant, type Level } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { IncidentStanding, UnitOfWork } from '../ports/unit-of-work.js';
import type { IncidentKind, IncidentState, OccurredInterval } from '../records/incident.js';
import type { Actor, PersonIdentity } from '../records/people.js';
import { UnacceptableEntry } from '../refusals.js';
import { viewWearer, type WearerView } from './incident-view.js';

export interface ListIncidentsCommand {
  readonly state?: IncidentState;
  readonly cursor?: string;
  /** 1 to 200; 50 when absent. */
  readonly limit?: number;
}

export interface ListedIncident {
  readonly incidentId: string;
  readonly eventId: string;
  readonly reportedAt: Instant;
  readonly occurred: OccurredInterval;
  readonly unitId: string;
  readonly kind: IncidentKind;
  readonly state: IncidentState;
  readonly revision: number;
  /** As determined, else as assessed; in the issuer's words. */
  readonly category: string;
  /** Null when the authority does not classify it. */
  readonly level: Level | null;
  readonly settled: boolean;
  /** Null for a reader who gets no alerts. */
  readonly openAlerts: number | null;
  readonly identityConfirmed: boolean;
  readonly wearer: WearerView;
}

export interface IncidentPage {
  readonly items: readonly ListedIncident[];
  readonly nextCursor: string | null;
}

/** What is not classified waits with the worst, as in `worstFirst`: below level 3 and above level 2. */
const urgencyOf = ({ level }: ListedIncident): number => level ?? 2.5;

function mostUrgentFirst(a: ListedIncident, b: ListedIncident): number {
  return (
    Number((b.openAlerts ?? 0) > 0) - Number((a.openAlerts ?? 0) > 0) ||
    urgencyOf(b) - urgencyOf(a) ||
    compareInstants(a.reportedAt, b.reportedAt)
  );
}

/** The queue: within a page what has open alerts and the higher level first, then the older. */
export class ListIncidents {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
  ) {}

  async execute({ state, cursor, limit = 50 }: ListIncidentsCommand, actor: Actor): Promise<IncidentPage> {
    const reach = authorise(actor, 'incident.read');
    if (!Number.isInteger(limit) || limit < 1 || limit > 200) {
      throw new UnacceptableEntry('This many cannot be listed at once.', {
        pointer: '/limit',
        accepted: 'a whole number from 1 to 200',
      });
    }
    if (reach === 'own' && actor.personId === null) return { items: [], nextCursor: null };
    const own = reach === 'own' && actor.personId !== null ? { personId: actor.personId } : {};
    return this.work.run(actor, async (tx) => {
      const page = await tx.incidents.list({
        limit,
        ...(state === undefined ? {} : { state }),
        ...(cursor === undefined ? {} : { cursor }),
        ...own,
      });
      const ids = page.items.map(({ incidentId }) => incidentId);
      const personIds = [...new Set(page.items.map(({ personId }) => personId))];
      const standings = await tx.incidents.standings(ids);
      const people = await tx.people.findAll(personIds);
      const identities: Map<string, PersonIdentity> =
        reach === 'pseudonymous' ? new Map() : await tx.people.identities(personIds);
      if (reach === 'site') {
        await tx.ledger.appendAll(
          personIds.map((personId) => ledgerEntry('incidents.listed', { kind: 'person', id: personId, personId })),
        );
      }
      const openAlerts = new Map<string, number>();
      const open = reach === 'pseudonymous' ? [] : await tx.alerts.list({ open: true, ...own });
      for (const { incidentId } of open) {
        openAlerts.set(incidentId, (openAlerts.get(incidentId) ?? 0) + 1);
      }
      const items = page.items.flatMap((incident): ListedIncident[] => {
        const standing = standings.get(incident.incidentId);
        const person = people.get(incident.personId);
        if (!standing || !person) return [];
        const { incidentId, eventId, reportedAt, unitId, revision, content } = incident;
        return [
          {
            incidentId,
            eventId,
            reportedAt,
            occurred: content.occurred,
            unitId,
            kind: content.kind,
            state: incident.state,
            revision,
            ...this.standingOf(incident.state, standing),
            openAlerts: reach === 'pseudonymous' ? null : (openAlerts.get(incidentId) ?? 0),
            identityConfirmed: incident.identityConfirmedAt !== null,
            wearer: viewWearer(person, identities.get(incident.personId) ?? null),
          },
        ];
      });
      return { items: items.sort(mostUrgentFirst), nextCursor: page.nextCursor };
    });
  }

  /** Once it is determined, the determination; while it is open, again or for the first time, the newest assessment. */
  private standingOf(
    state: IncidentState,
    { assessment: { result }, determination }: IncidentStanding,
  ): Pick<ListedIncident, 'category' | 'level' | 'settled'> {
    if (state === 'open' || determination === null) {
      return { category: result.category, level: result.level, settled: result.settled };
    }
    const { category, categoryId } = determination;
    if (categoryId === NOT_CLASSIFIED) return { category, level: null, settled: true };
    const { table } = this.rulebook.table(`${result.table}@${result.version}`);
    const determined = table.categories.find(({ id }) => id === categoryId);
    return { category, level: determined?.level ?? result.level, settled: true };
  }
}
