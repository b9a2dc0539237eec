import type { DataSource } from 'typeorm';

/** One thing that "acknowledged means on disk" rests on. */
export interface DurabilityFinding {
  readonly setting: string;
  readonly value: string;
  readonly wanted: string;
  readonly ok: boolean;
  /** True where a start must be refused; otherwise it is a warning. */
  readonly required: boolean;
}

const WANTED: readonly { setting: string; wanted: string; holds: (value: string) => boolean; required: boolean }[] = [
  {
    setting: 'server_version_num',
    wanted: '150000 or more',
    holds: (value) => Number(value) >= 150_000,
    required: true,
  },
  { setting: 'fsync', wanted: 'on', holds: (value) => value === 'on', required: true },
  { setting: 'full_page_writes', wanted: 'on', holds: (value) => value === 'on', required: true },
  {
    setting: 'synchronous_commit',
    wanted: 'on, remote_write or remote_apply',
    holds: (value) => ['on', 'remote_write', 'remote_apply'].includes(value),
    required: true,
  },
  { setting: 'data_checksums', wanted: 'on', holds: (value) => value === 'on', required: false },
  { setting: 'data_sync_retry', wanted: 'off', holds: (value) => value === 'off', required: false },
  { setting: 'wal_level', wanted: 'replica or logical', holds: (value) => value !== 'minimal', required: false },
];

/** Reads what the server says of its durability; asked at boot, and shown by `/health/ready`. */
export async function checkDurability(source: DataSource): Promise<DurabilityFinding[]> {
  const rows = await source.query<{ name: string; setting: string }[]>(
    'select name, setting from pg_settings where name = any ($1)',
    [WANTED.map(({ setting }) => setting)],
  );
  const values = new Map(rows.map(({ name, setting }) => [name, setting]));
  return WANTED.map(({ setting, wanted, holds, required }) => {
    const value = values.get(setting) ?? 'unknown';
    return { setting, value, wanted, ok: value !== 'unknown' && holds(value), required };
  });
}

/** The same question for whoever has no connection to ask it with. */
export class Durability {
  constructor(private readonly source: DataSource) {}

  check(): Promise<DurabilityFinding[]> {
    return checkDurability(this.source);
  }
}
