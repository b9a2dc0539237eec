import { clockInWords, dateInWords, daysSince, daysUntil, distanceInWords } from '../time-words.js';
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

/** A civil date and the calendar days until it, or since it where it lies back. */
export function Day({
  date,
  timeZone,
  isPast = false,
}: {
  date: string | null | undefined;
  timeZone: string;
  isPast?: boolean;
}) {
  const now = useNow();
  if (!date) return <span>not known</span>;
  return (
    <time dateTime={date} className="moment">
      {dateInWords(date)}{' '}
      <span className="moment-distance">
        ({isPast ? daysAgoInWords(daysSince(date, timeZone, now)) : daysLeftInWords(daysUntil(date, timeZone, now))})
      </span>
    </time>
  );
}

/** Days left in words; the day itself has none left. */
export function daysLeftInWords(days: number): string {
  if (days === 0) return 'no day left';
  return days === 1 ? '1 day left' : `${days} days left`;
}

function daysAgoInWords(days: number): string {
  if (days <= 0) return 'today';
  return days === 1 ? 'yesterday' : `${days} days ago`;
}
