import { DomainError, type CompiledTable, type DecisionTable } from '#domain';
import { authorise } from '../access/authorise.js';
import type { FactQuestion, Rulebook } from '../ports/rulebook.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';
import { NotFound } from '../refusals.js';
import { tableCard, type TableCard } from './table-card.js';

export interface ReadTableCommand {
  /** `id` (the newest) or `id@version`. */
  readonly ref: string;
}

export interface TableView extends TableCard {
  readonly table: DecisionTable;
  /** The questions behind the table's inputs. */
  readonly questions: Readonly<Record<string, FactQuestion>>;
}

/** The table, or `NotFound` that names what exists. */
export function tableNamed(rulebook: Rulebook, ref: string): CompiledTable {
  try {
    return rulebook.table(ref);
  } catch (error) {
    if (!(error instanceof DomainError)) throw error;
    throw new NotFound('table', {
      cause: error,
      ...(error.accepted === undefined ? {} : { accepted: error.accepted }),
    });
  }
}

/** One table with every rule, source and grade. */
export class ReadTable {
  constructor(
    private readonly work: UnitOfWork,
    private readonly rulebook: Rulebook,
  ) {}

  async execute({ ref }: ReadTableCommand, actor: Actor): Promise<TableView> {
    authorise(actor, 'table.read');
    const edition = tableNamed(this.rulebook, ref);
    const { table } = edition;
    return this.work.run(actor, async (tx) => {
      const { settings } = await tx.site.read();
      const confirmations = await tx.site.confirmations();
      const questions = table.inputs.flatMap(({ fact }) => {
        const question = this.rulebook.questions[fact];
        return question ? [[fact, question] as const] : [];
      });
      return {
        ...tableCard(this.rulebook, edition, settings, confirmations),
        table,
        questions: Object.fromEntries(questions),
      };
    });
  }
}
