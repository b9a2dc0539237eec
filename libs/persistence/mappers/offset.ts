import type { Instant } from '#domain';

/** Minutes east of UTC that an RFC 3339 text was written with. */
export function offsetOf(instant: Instant): number {
  const [, sign, hours, minutes] = /([+-])(\d\d):(\d\d)$/.exec(instant) ?? [];
  if (sign === undefined) return 0;
  return (sign === '-' ? -1 : 1) * (Number(hours) * 60 + Number(minutes));
}

/**
 * The instant written with that offset, as the domain writes it: no fraction where there is none, none of its last zeros, `+00:00` and never `Z`.
 *
 * @example withOffset('2026-10-20T17:00:00.000Z', 60) // '2026-10-20T18:00:00+01:00'
 */
export function withOffset(instant: Instant, offset: number): Instant {
  const wall = new Date(Date.parse(instant) + offset * 60_000)
    .toISOString()
    .slice(0, -1)
    .replace(/\.?0*$/, '');
  const distance = Math.abs(offset);
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${wall}${offset < 0 ? '-' : '+'}${two(Math.floor(distance / 60))}:${two(distance % 60)}`;
}
