const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

function amount(count: number, unit: string): string {
  return `${count} ${unit}${count === 1 ? '' : 's'}`;
}

/** A length of time in at most two units, rounded down: 95 minutes is "1 hour 35 minutes". */
export function lengthInWords(milliseconds: number): string {
  const size = Math.abs(milliseconds);
  if (size < MINUTE) return 'less than a minute';
  if (size < HOUR) return amount(Math.floor(size / MINUTE), 'minute');
  if (size < 2 * DAY) {
    const minutes = Math.floor((size % HOUR) / MINUTE);
    const hours = amount(Math.floor(size / HOUR), 'hour');
    return minutes === 0 || size >= DAY ? hours : `${hours} ${amount(minutes, 'minute')}`;
  }
  return amount(Math.floor(size / DAY), 'day');
}

/** How long ago, or how long until, as the second half of every time on a page. */
export function distanceInWords(instant: string, now: number): string {
  const difference = Date.parse(instant) - now;
  if (Number.isNaN(difference)) return 'not known';
  if (Math.abs(difference) < MINUTE) return 'just now';
  return difference < 0 ? `${lengthInWords(difference)} ago` : `in ${lengthInWords(difference)}`;
}

/** The clock time with its zone, the date unless it is today there, and the year unless it is this one: "09:12 GMT, Wed 25 Nov". */
export function clockInWords(instant: string, timeZone: string, now: number): string {
  const at = Date.parse(instant);
  if (Number.isNaN(at)) return 'not known';
  const clock = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'short',
  }).format(at);
  if (wallClock(at, timeZone).date === wallClock(now, timeZone).date) return clock;
  const isThisYear = wallClock(at, timeZone).date.slice(0, 4) === wallClock(now, timeZone).date.slice(0, 4);
  return `${clock}, ${localDay(at, timeZone, isThisYear ? undefined : 'numeric')}`;
}

function localDay(at: number, timeZone: string, year?: 'numeric'): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone,
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    ...(year ? { year } : {}),
  })
    .format(at)
    .replace(',', '');
}

/** A civil date in words: "Wed 25 Nov 2026". It has no zone of its own and is not moved by one. */
export function dateInWords(date: string): string {
  const at = Date.parse(`${date}T12:00:00Z`);
  return Number.isNaN(at) ? 'not known' : localDay(at, 'UTC', 'numeric');
}

/** What a clock on the wall of that zone shows, as the values of a date and a time field. */
export function wallClock(at: number, timeZone: string): { readonly date: string; readonly time: string } {
  const parts = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).formatToParts(at);
  const part = (type: string) => parts.find((each) => each.type === type)?.value ?? '';
  return { date: `${part('year')}-${part('month')}-${part('day')}`, time: `${part('hour')}:${part('minute')}` };
}

/**
 * The instant at which a clock in that zone shows this date and time, or null where it never does. In the hour that a clock
 * shows twice the earlier one is meant: hour limits then run from the earlier instant.
 */
export function instantOf(date: string, time: string, timeZone: string): string | null {
  const asIfUtc = Date.parse(`${date}T${time}:00Z`);
  if (Number.isNaN(asIfUtc)) return null;
  // No zone is further than 14 hours from UTC, and offsets are whole quarters of an hour.
  for (let offset = 14 * HOUR; offset >= -14 * HOUR; offset -= 15 * MINUTE) {
    const shown = wallClock(asIfUtc - offset, timeZone);
    if (shown.date === date && shown.time === time) return new Date(asIfUtc - offset).toISOString();
  }
  return null;
}

/** Days until a civil date, by the calendar of that zone; 0 on the day itself and after it. */
export function daysUntil(date: string, timeZone: string, now: number): number {
  return Math.max(0, -daysSince(date, timeZone, now));
}

/** Days since a civil date, by the calendar of that zone; negative before it. */
export function daysSince(date: string, timeZone: string, now: number): number {
  const today = wallClock(now, timeZone).date;
  return Math.round((Date.parse(`${today}T00:00:00Z`) - Date.parse(`${date}T00:00:00Z`)) / DAY);
}
