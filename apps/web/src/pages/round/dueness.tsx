import type { Plan } from '../../api.js';
import { Moment } from '../../shell/moment.js';

/** Where a follow-up stands with its readings: missing, to be taken now, or next. */
export interface Dueness {
  /** Overdue first, then due now, then by the next. */
  readonly order: number;
  readonly isOverdue: boolean;
  readonly missing: number;
  readonly now: Plan['checks'][number] | null;
  readonly next: Plan['checks'][number] | null;
}

export function duenessOf(plan: Plan, now: number): Dueness {
  const open = plan.checks.filter(({ kind, state }) => kind === 'reading' && state === 'due');
  const missing = open.filter(({ dueUntil }) => Date.parse(dueUntil) < now);
  const current =
    open.find(({ dueFrom, dueUntil }) => Date.parse(dueFrom) <= now && now <= Date.parse(dueUntil)) ?? null;
  const next = open.find(({ dueFrom }) => Date.parse(dueFrom) > now) ?? null;
  const isOverdue = missing.length > 0;
  return {
    order: isOverdue ? 0 : current ? 1 : next ? Date.parse(next.dueFrom) : Infinity,
    isOverdue,
    missing: missing.length,
    now: current,
    next,
  };
}

export function DuenessInWords({ dueness, timeZone }: { dueness: Dueness; timeZone: string }) {
  const { missing, now, next } = dueness;
  return (
    <>
      {missing > 0 && (missing === 1 ? '1 reading is missing. ' : `${missing} readings are missing. `)}
      {now ? (
        <>
          To be taken now, by <Moment at={now.dueUntil} timeZone={timeZone} />
        </>
      ) : next ? (
        <>
          Next from <Moment at={next.dueFrom} timeZone={timeZone} />
        </>
      ) : (
        missing === 0 && 'No reading is asked for'
      )}
    </>
  );
}
