/**
 * Given on the command line, so that no file and no ALTER SYSTEM can take them back.
 * The first four are what "acknowledged means on disk" rests on; `checkDurability` reads them at every start.
 */
const SETTINGS: Readonly<Record<string, string>> = {
  fsync: 'on',
  full_page_writes: 'on',
  synchronous_commit: 'on',
  data_sync_retry: 'off',
  wal_level: 'replica',
  listen_addresses: '127.0.0.1',
  unix_socket_directories: '',
  password_encryption: 'scram-sha-256',
  max_connections: '100',
  timezone: 'UTC',
  log_timezone: 'UTC',
  lc_messages: 'C',
  // Statement texts, parameters and error details hold what people reported: none of it goes to the server's log.
  // Errors are the program's to report: even their first line repeats a value ("invalid input syntax: ...").
  log_min_messages: 'log',
  log_statement: 'none',
  log_min_error_statement: 'panic',
  log_error_verbosity: 'terse',
  log_parameter_max_length: '0',
  log_parameter_max_length_on_error: '0',
  log_min_duration_statement: '-1',
  // The queries are short; compiling them would take longer than running them.
  jit: 'off',
  // A new site's tables grow from nothing within minutes: their statistics must follow.
  autovacuum_naptime: '15s',
  max_wal_size: '1GB',
  checkpoint_completion_target: '0.9',
};

/** The arguments of `postgres` for a cluster and port. */
export function serverArguments(cluster: string, port: number): string[] {
  const settings = Object.entries(SETTINGS).flatMap(([name, value]) => ['-c', `${name}=${value}`]);
  return ['-D', cluster, '-p', String(port), ...settings];
}
