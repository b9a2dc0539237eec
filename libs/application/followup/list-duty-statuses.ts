import type { LocalDate, PermittedWork } from '#domain';
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

/** Who may do what work, and for how long: a manager's own team, or everybody for the nurse. */
export class ListDutyStatuses {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_actor: Actor): Promise<DutyList> {
    throw new Error('This use case is not built yet.');
  }
}
