import { daysRemaining, PERMITTED_WORK, type LocalDate, type PermittedWork } from '#domain';
import { authorise } from '../access/authorise.js';
import { ledgerEntry } from '../ledger-entries.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

/** One line of a duty list. No clinical word, and no id that is ordered by time. */
export interface DutyLine {
  readonly rosterRef: string;
  readonly name: string;
  readonly unitId: string;
  readonly work: PermittedWork;
  /** The permitted work in words. */
  readonly words: string;
  /** Once a nurse has set the date. */
  readonly daysRemaining: number | null;
  readonly until: LocalDate | null;
  /** Until then. */
  readonly nextReview: LocalDate | null;
}

export interface DutyList {
  /** Null for a reader who gets counts only. */
  readonly lines: readonly DutyLine[] | null;
  readonly counts: readonly { readonly work: PermittedWork; readonly words: string; readonly count: number }[];
}

/** What work is permitted, by function: a reason in these words would tell what somebody was exposed to. */
export const WORK_WORDS: Readonly<Record<PermittedWork, string>> = {
  all: 'All work',
  'no-patient-contact': 'No patient contact',
  'not-on-site': 'Not on site',
  'remote-only': 'Remote work only',
  'not-rostered-until-decided': 'Not to be rostered until occupational health has decided',
};

function countEach(counted: ReadonlyMap<PermittedWork, number>): DutyList['counts'] {
  return PERMITTED_WORK.flatMap((work) => {
    const count = counted.get(work) ?? 0;
    return count > 0 ? [{ work, words: WORK_WORDS[work], count }] : [];
  });
}

/** Who may do what work, and for how long: a manager's own team, or everybody for the nurse. */
export class ListDutyStatuses {
  constructor(private readonly work: UnitOfWork) {}

  execute(actor: Actor): Promise<DutyList> {
    const reach = authorise(actor, 'duty-status.read');
    return this.work.run(actor, async (tx) => {
      if (reach === 'counts') {
        const counts = await tx.dutyStatuses.counts();
        return { lines: null, counts: countEach(new Map(counts.map(({ work, people }) => [work, people]))) };
      }
      const all = await tx.dutyStatuses.list();
      // The database shows a manager no other rows; here the rule stands a second time.
      const statuses = reach === 'own-team' ? all.filter(({ unitId }) => actor.unitIds.includes(unitId)) : all;
      const { timeZone } = await tx.site.read();
      const names = await tx.dutyStatuses.names(statuses.map(({ personId }) => personId));
      if (reach === 'site') {
        await tx.ledger.appendAll(
          statuses.map(({ personId }) => ledgerEntry('duty-status.read', { kind: 'person', id: personId, personId })),
        );
      }
      const lines = statuses
        .map(({ personId, rosterRef, unitId, work, untilDate, nextReviewDate }): DutyLine => ({
          rosterRef,
          name: names.get(personId) ?? '',
          unitId,
          work,
          words: WORK_WORDS[work],
          daysRemaining: untilDate === null ? null : daysRemaining(untilDate, timeZone, tx.now),
          until: untilDate,
          nextReview: nextReviewDate,
        }))
        .sort((a, b) => a.name.localeCompare(b.name) || a.rosterRef.localeCompare(b.rosterRef));
      const counted = new Map<PermittedWork, number>();
      for (const { work } of lines) counted.set(work, (counted.get(work) ?? 0) + 1);
      return { lines, counts: countEach(counted) };
    });
  }
}
