import type { Decimal, Instant, MeasurementSite, ReadingJudgement, TemperatureUnit, Ternary, TimeZone } from '#domain';
import type { Answer, Idempotent } from '../answer.js';
import type { UnitOfWork } from '../ports/unit-of-work.js';
import type { Actor } from '../records/people.js';

export interface RecordReadingCommand extends Idempotent {
  readonly planId: string;
  readonly at: Instant;
  readonly timeZone: TimeZone;
  /** As it stood on the thermometer; null when only symptoms are answered. */
  readonly value: Decimal | null;
  readonly unit: TemperatureUnit;
  readonly measurementSite?: MeasurementSite | null;
  readonly antipyreticTaken?: Ternary | null;
  readonly feltFever?: Ternary | null;
  /** Codes out of the plan's symptoms. */
  readonly symptoms?: readonly string[];
  readonly confirmed?: boolean;
}

export interface RecordedReading {
  readonly readingId: string;
  readonly judgement: ReadingJudgement;
  readonly alertId: string | null;
  /** The check that this reading answers; null when none was due. */
  readonly checkKey: string | null;
  /** What to do at once, the emergency route first; null when nothing was met. */
  readonly advice: {
    readonly emergency: { readonly words: string; readonly telephone: string };
    readonly occupationalHealth: { readonly telephone: string };
    readonly actions: readonly string[];
  } | null;
}

/** Keeps a reading, judges it, and raises it to the nurse when a threshold or a symptom is met. */
export class RecordReading {
  constructor(protected readonly work: UnitOfWork) {}

  execute(_command: RecordReadingCommand, _actor: Actor): Promise<Answer<RecordedReading>> {
    throw new Error('This use case is not built yet.');
  }
}
