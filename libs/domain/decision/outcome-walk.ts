import type { CompiledTable } from './compile.js';
import type { Ref } from './diagram.js';
import type { Outcome, OutcomeContent } from './outcome.js';

/** Collects the outcomes that some possible combination of the allowed values ends in. One instance serves one table. */
export class OutcomeWalk {
  private readonly stamps: Int32Array;
  private readonly ends: Int32Array;
  private turn = 0;

  constructor(private readonly table: CompiledTable) {
    this.stamps = new Int32Array(table.byOutcome.cells.length);
    this.ends = new Int32Array(table.outcomes.length + 1);
  }

  reached(allowed: Int32Array): (Outcome & OutcomeContent)[] {
    this.turn = (this.turn + 1) | 0;
    const found: (Outcome & OutcomeContent)[] = [];
    this.walk(this.table.byOutcome.root, allowed, found);
    return found;
  }

  private walk(at: Ref, allowed: Int32Array, found: (Outcome & OutcomeContent)[]): void {
    if (at < 0) {
      const number = ~at;
      if (number === 0 || this.ends[number] === this.turn) return;
      this.ends[number] = this.turn;
      found.push(this.table.outcomes[number - 1] as Outcome & OutcomeContent);
      return;
    }
    if (this.stamps[at] === this.turn) return;
    this.stamps[at] = this.turn;
    const { cells } = this.table.byOutcome;
    let values = allowed[cells[at] as number] as number;
    for (let edge = at + 1; values !== 0; edge++, values >>= 1) {
      if (values & 1) this.walk(cells[edge] as Ref, allowed, found);
    }
  }
}
