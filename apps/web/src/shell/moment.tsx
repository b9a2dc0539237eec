import { clockInWords, dateInWords, daysUntil, distanceInWords } from '../time-words.js';
import { useNow } from './now.js';

/** A time, always said twice: the clock with its zone, and how long ago or how long left. */
export function Moment({ at, timeZone }: { at: string | null | undefined; timeZone: string }) {
  const now = useNow();
  if (!at) return <span>not known</span>;
  return (
    <time dateTime={at} className="moment">
      {clockInWords(at, timeZone, now)} <span className="moment-distance">({distanceInWords(at, now)})</span>
    </time>
  );
}

/** When something happened: an instant, or "between … and …" when only an interval is known. */
export function Between({ from, until, timeZone }: { from: string; until: string; timeZone: string }) {
  const now = useNow();
  if (from === until) return <Moment at={from} timeZone={timeZone} />;
  return (
    <span className="moment">
      between <time dateTime={from}>{clockInWords(from, timeZone, now)}</time> and{' '}
      <time dateTime={until}>{clockInWords(until, timeZone, now)}</time>{' '}
      <span className="moment-distance">(at the latest {distanceInWords(until, now)})</span>
    </span>
  );
}

/** A civil date and the calendar days until it. */
export function Day({ date, timeZone }: { date: string | null | undefined; timeZone: string }) {
  const now = useNow();
  if (!date) return <span>not known</span>;
  const days = daysUntil(date, timeZone, now);
  return (
    <time dateTime={date} className="moment">
      {dateInWords(date)} <span className="moment-distance">({daysInWords(days)})</span>
    </time>
  );
}

function daysInWords(days: number): string {
  return days === 0 ? 'no days left' : `${days} ${days === 1 ? 'day' : 'days'} left`;
}
