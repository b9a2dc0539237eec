import { requireLocalDate, localDateOf, type Instant, type LocalDate } from '#domain';
import { authorise } from '../access/authorise.js';
import { countDifference, type PlanDifferenceCounts } from '../followup/plan-difference.js';
import { doneKeys } from '../followup/tighten-plan.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { Transaction, UnitOfWork } from '../ports/unit-of-work.js';
import type {
  IncidentRecord,
  IncidentState,
  SourceRecord,
  SourceStatus,
  SourceStatusRecord,
} from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { Forbidden, NotFound, UnacceptableEntry } from '../refusals.js';
import { everythingRemoved, retell } from '../reporting/retell.js';
import type { KnownSite, SiteKnowledge } from '../reporting/site-knowledge.js';

export interface ChangeSourceStatusCommand {
  readonly sourceId: string;
  readonly status: SourceStatus;
  readonly agent: string;
  readonly onDate: LocalDate;
  readonly sampledOn?: LocalDate | null;
}

/** What the change would mean for one incident. What would loosen waits for a signature. */
export interface LinkedIncident {
  readonly incidentId: string;
  readonly reportedAt: Instant;
  readonly state: IncidentState;
  readonly revision: number;
  /** Null where the incident has no plan and gets none. */
  readonly difference: PlanDifferenceCounts | null;
  readonly tightenedAtOnce: boolean;
  /** It was released, and the window of the new agent is still open. */
  readonly reopened: boolean;
  readonly needsDetermination: boolean;
}

export interface ChangedSource {
  readonly source: SourceRecord;
  readonly linked: readonly LinkedIncident[];
}

const PAGE = 100;

async function linkedTo(tx: Transaction, sourceId: string): Promise<readonly IncidentRecord[]> {
  const linked: IncidentRecord[] = [];
  let cursor: string | null = null;
  do {
    const page: Awaited<ReturnType<typeof tx.incidents.list>> = await tx.incidents.list({
      sourceId,
      limit: PAGE,
      ...(cursor === null ? {} : { cursor }),
    });
    linked.push(...page.items);
    cursor = page.nextCursor;
  } while (cursor !== null);
  return linked;
}

/** Whoever enters it again, or sends it again for want of an answer, says nothing new. */
function isSame(latest: SourceStatusRecord | undefined, entered: SourceStatusRecord): boolean {
  return (
    latest !== undefined &&
    latest.status === entered.status &&
    latest.agent === entered.agent &&
    latest.onDate === entered.onDate &&
    latest.sampledOn === entered.sampledOn
  );
}

/** A dated change of what is known about a source. Nothing stops by itself; ruling out never removes a check. */
export class ChangeSourceStatus {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
    private readonly sites: SiteKnowledge,
  ) {}

  async execute(command: ChangeSourceStatusCommand, actor: Actor): Promise<ChangedSource> {
    authorise(actor, 'source.change');
    const { accountId } = actor;
    if (accountId === null) throw new Forbidden();
    const onDate = requireLocalDate(command.onDate, '/onDate');
    const sampledOn = command.sampledOn ? requireLocalDate(command.sampledOn, '/sampledOn') : null;
    const agents = this.rulebook.agents().map(({ code }) => code);
    if (!agents.includes(command.agent)) {
      throw new UnacceptableEntry('The rulebook has no such agent.', {
        pointer: '/agent',
        accepted: `one of: ${agents.join(', ')}`,
      });
    }
    return this.work.run(actor, async (tx) => {
      const source = await tx.sources.find(command.sourceId);
      if (source === null) throw new NotFound('source');
      const site = await this.sites.read(tx, actor.siteId);
      const today = localDateOf(tx.now, site.site.timeZone);
      for (const [pointer, date] of [
        ['/onDate', onDate],
        ['/sampledOn', sampledOn],
      ] as const) {
        if (date !== null && date > today) {
          throw new UnacceptableEntry('This day lies in the future.', {
            pointer,
            accepted: `a day not after ${today}`,
          });
        }
      }
      const status: SourceStatusRecord = {
        status: command.status,
        agent: command.agent,
        onDate,
        sampledOn,
        byAccount: accountId,
        at: tx.now,
      };
      const isRepeat = isSame(source.statuses.at(-1), status);
      if (!isRepeat) {
        await tx.sources.appendStatus(source.sourceId, status);
        await tx.ledger.append(
          ledgerEntry('source.status-changed', { kind: 'source', id: source.sourceId }, { status: status.status }),
        );
      }
      const linked: LinkedIncident[] = [];
      for (const { incidentId } of await linkedTo(tx, source.sourceId)) {
        const incident = await tx.incidents.findForChange(incidentId);
        if (incident) linked.push(await this.apply(tx, site, incident, status, actor));
      }
      return { source: isRepeat ? source : { ...source, statuses: [...source.statuses, status] }, linked };
    });
  }

  private async apply(
    tx: Transaction,
    site: KnownSite,
    incident: IncidentRecord,
    { status, agent }: SourceStatusRecord,
    actor: Actor,
  ): Promise<LinkedIncident> {
    const { incidentId, reportedAt, content } = incident;
    if (status === 'ruled-out') return this.ruledOut(tx, incident, agent);
    if (content.agent === agent && content.certainty === status) {
      return {
        incidentId,
        reportedAt,
        state: incident.state,
        revision: incident.revision,
        difference: null,
        tightenedAtOnce: false,
        reopened: false,
        needsDetermination: false,
      };
    }
    const retold = await retell(tx, this.rulebook, actor, {
      site,
      incident,
      ensemble: this.rulebook.ensemble(incident.ensembleId, incident.ensembleVersion),
      content: { ...content, agent, certainty: status },
      sourceId: incident.sourceId,
      account: null,
      buddy: null,
      answered: null,
    });
    return {
      incidentId,
      reportedAt,
      state: retold.incident.state,
      revision: retold.incident.revision,
      difference: retold.difference && countDifference(retold.difference),
      tightenedAtOnce: retold.tightenedAtOnce,
      reopened: retold.reopened,
      needsDetermination: retold.needsDetermination,
    };
  }

  /** Says what would fall away if a nurse signed that, and takes nothing away. */
  private async ruledOut(tx: Transaction, incident: IncidentRecord, agent: string): Promise<LinkedIncident> {
    const plan = incident.content.agent === agent ? await tx.plans.findByIncident(incident.incidentId) : null;
    const runs = plan?.state === 'running';
    const difference = runs
      ? countDifference(everythingRemoved(plan.plan, doneKeys(await tx.plans.checks(plan.planId))))
      : null;
    return {
      incidentId: incident.incidentId,
      reportedAt: incident.reportedAt,
      state: incident.state,
      revision: incident.revision,
      difference,
      tightenedAtOnce: false,
      reopened: false,
      needsDetermination: runs,
    };
  }
}
