import type { BarrierPicture } from '#domain';
import { authorise } from '../access/authorise.js';
import { viewPlan, type PlanView } from '../followup/plan-view.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { AlertRecord, LetterRecord } from '../records/followup.js';
import type { AssessmentRecord, DeterminationRecord, TellingRecord } from '../records/incident.js';
import type { Actor } from '../records/people.js';
import { NotFound } from '../refusals.js';
import { viewWearer, type IncidentView, type TellingView } from './incident-view.js';

export interface ReadIncidentCommand {
  readonly incidentId: string;
}

export interface IncidentFile {
  readonly incident: IncidentView;
  readonly tellings: readonly TellingView[];
  /** Oldest first. */
  readonly assessments: readonly AssessmentRecord[];
  readonly determinations: readonly DeterminationRecord[];
  readonly plan: PlanView | null;
  readonly alerts: readonly AlertView[];
  readonly letters: readonly LetterRecord[];
  /** Of the newest assessment. */
  readonly barrier: BarrierPicture;
}

/** The person is named once, at the incident. */
export type AlertView = Omit<AlertRecord, 'personId'>;

/** Free text was written by somebody about somebody: a pseudonymous reader gets the coded answers alone. */
function viewTelling({ byAccount: _, ...telling }: TellingRecord, identity: boolean): TellingView {
  return identity ? telling : { ...telling, account: null, buddy: null };
}

/** Everything about one incident that the reader may see. The ETag is `incident.revision`. */
export class ReadIncident {
  constructor(private readonly work: UnitOfWork) {}

  execute({ incidentId }: ReadIncidentCommand, actor: Actor): Promise<IncidentFile> {
    const reach = authorise(actor, 'incident.read');
    const identity = reach !== 'pseudonymous';
    return this.work.run(actor, async (tx) => {
      const found = await tx.incidents.find(incidentId);
      if (found === null || (reach === 'own' && found.personId !== actor.personId)) throw new NotFound('incident');
      const { personId, reportedByAccount: _, ...incident } = found;
      const person = await tx.people.find(personId);
      const assessments = await tx.incidents.assessments(incidentId);
      const newest = assessments.at(-1);
      if (person === null || newest === undefined) throw new NotFound('incident');

      const opened = identity ? ((await tx.people.identities([personId])).get(personId) ?? null) : null;
      if (reach === 'site') {
        await tx.ledger.append(ledgerEntry('incident.read', { kind: 'incident', id: incidentId, personId }));
      }
      const units = await tx.site.units();
      const source = incident.sourceId === null ? null : await tx.sources.find(incident.sourceId);
      const tellings = await tx.incidents.tellings(incidentId);
      const determinations = await tx.incidents.determinations(incidentId);
      const plan = await tx.plans.findByIncident(incidentId);
      const checks = plan === null ? [] : await tx.plans.checks(plan.planId);
      const alerts = await tx.alerts.list({ incidentId });
      return {
        incident: {
          ...incident,
          wearer: viewWearer(person, opened),
          unitName: units.find(({ unitId }) => unitId === incident.unitId)?.name ?? '',
          source: source?.pseudonym ?? null,
        },
        tellings: tellings.map((telling) => viewTelling(telling, identity)),
        assessments,
        determinations: identity
          ? determinations
          : determinations.map((determination) => ({
              ...determination,
              reason: null,
              signedByName: null,
              secondClinicianName: null,
            })),
        plan: plan === null ? null : viewPlan(plan, checks, tx.now, { identity }),
        alerts: alerts.map(({ personId: _person, ...alert }) => alert),
        letters: await tx.letters.listByIncident(incidentId),
        barrier: newest.barrier,
      };
    });
  }
}
