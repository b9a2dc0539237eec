import type { ColumnOptions, ValueTransformer } from 'typeorm';

// The driver gives a Date, the records hold RFC 3339 text in UTC, to the millisecond.
const instant: ValueTransformer = {
  to: (value: string | null | undefined) => value,
  from: (value: Date | null) => (value instanceof Date ? value.toISOString() : value),
};

/** The column options of an instant; `timestamptz` in the database, RFC 3339 text in the entity. */
export function instantColumn(name: string, options: ColumnOptions = {}): ColumnOptions {
  return { ...options, name, type: 'timestamptz', transformer: instant };
}
