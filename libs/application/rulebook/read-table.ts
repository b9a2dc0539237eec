import type { DecisionTable } from '#domain';
import type { FactQuestion, Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import type { TableCard } from './list-tables.js';

export interface ReadTableCommand {
  /** `id` (the newest) or `id@version`. */
  readonly ref: string;
}

export interface TableView extends TableCard {
  readonly table: DecisionTable;
  /** The questions behind the table's inputs. */
  readonly questions: Readonly<Record<string, FactQuestion>>;
}

/** One table with every rule, source and grade. */
export class ReadTable {
  constructor(
    protected readonly work: UnitOfWork,
    protected readonly rulebook: Rulebook,
  ) {}

  execute(_command: ReadTableCommand, _actor: Actor): Promise<TableView> {
    throw new Error('This use case is not built yet.');
  }
}
