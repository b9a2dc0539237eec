import type { Breach, Facts, Instant, Seen, Stage, Ternary, TimeZone } from '#domain';
import type { Certainty, FirstAidAction, Fluid, IncidentKind, Lapse, Task } from '../records/incident.js';

/** The coded answers of a report as they are handed in. What is absent is unknown, never "no". */
export interface ReportedContent {
  readonly kind: IncidentKind;
  readonly occurred: { readonly from: Instant; readonly until?: Instant | null; readonly timeZone: TimeZone };
  readonly leftAreaAt?: Instant | null;
  readonly stage: Stage;
  readonly step?: string | null;
  readonly breaches?: readonly {
    readonly layer: string;
    readonly extent?: Breach['extent'] | null;
    readonly manner?: Breach['manner'] | null;
  }[];
  readonly lapses?: readonly Lapse[];
  readonly foundWhole?: readonly string[];
  readonly task?: Task | null;
  readonly fluid?: Fluid | null;
  readonly seen?: { readonly [Answer in keyof Seen]?: Seen[Answer] | null } | null;
  readonly firstAid?: readonly { readonly action: FirstAidAction; readonly at?: Instant | null }[];
  readonly anyoneElse?: Ternary | null;
  readonly agent?: string | null;
  readonly certainty?: Certainty | null;
  readonly callMe: boolean;
  readonly facts?: Facts | null;
  /** The same entry again, after `needs-confirmation`. */
  readonly confirmed?: boolean;
}
