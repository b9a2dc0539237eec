import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** Where Debian and its relatives put PostgreSQL 15, the oldest that is promised to work. */
const SERVER = '/usr/lib/postgresql/15/bin/postgres';

// The tests that speak to the database, once more; the embedded 18 has had its turn.
if (existsSync(SERVER)) {
  const { status } = spawnSync(
    'npm',
    ['run', '-s', 'test:integration', '--', '--testPathPatterns', 'tests/(database|api)/'],
    {
      stdio: 'inherit',
      env: { ...process.env, TEST_POSTGRES: '15' },
    },
  );
  process.exit(status ?? 1);
}
process.stdout.write('This machine has no PostgreSQL 15: tested on the embedded 18 alone.\n');
