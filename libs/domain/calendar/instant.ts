/** An instant as RFC 3339 text, in UTC (`2026-11-25T10:00:00Z`) when we write it; any offset is accepted when we read it. */
export type Instant = string;
/** A civil date, `YYYY-MM-DD`, in the zone that stands beside it. */
export type LocalDate = string;
/** An IANA time zone name, for example `Europe/London`. */
export type TimeZone = string;
