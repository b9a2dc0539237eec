import { daysBetween, requireLocalDate, type LocalDate } from '#domain';
import { authorise } from '../access/authorise.js';
import type { InsightCounts, UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { UnacceptableEntry } from '../refusals.js';

export interface CountBreachesCommand {
  readonly from: LocalDate;
  readonly until: LocalDate;
}

export interface BreachCounts extends InsightCounts {
  readonly cautions: readonly string[];
}

const CAUTIONS = [
  'These are counts of what was reported. More reports can mean more breaches, or more people who report.',
  'An event with several people counts once; near misses are counted apart.',
  'Uses are entered by hand: where none are entered, no rate can be formed.',
];

/** Counts of events, incidents and uses between two days, both included. */
export class CountBreaches {
  constructor(private readonly work: UnitOfWork) {}

  async execute(command: CountBreachesCommand, actor: Actor): Promise<BreachCounts> {
    authorise(actor, 'insight.count');
    const from = requireLocalDate(command.from, '/from');
    const until = requireLocalDate(command.until, '/until');
    if (daysBetween(from, until) < 0) {
      throw new UnacceptableEntry('The last day comes before the first.', {
        pointer: '/until',
        accepted: `a day not before ${from}`,
      });
    }
    const counts = await this.work.run(actor, (tx) => tx.insight.count(from, until));
    return { ...counts, cautions: CAUTIONS };
  }
}
