import { describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { createTestDatabase, hasPostgres15 } from '../support/database.js';
import { rowSecurity } from './suites/row-security.js';

/** The oldest PostgreSQL that DATABASE_URL may name; its binaries are not everywhere. */
if (hasPostgres15()) {
  describe('row security on the machine’s own PostgreSQL 15', () => {
    it('runs on a server of that version', async () => {
      const database = await createTestDatabase({ postgres: '15' });
      const client = new pg.Client({ connectionString: database.appUrl });
      await client.connect();
      const { rows } = await client.query<{ server_version: string }>('show server_version');
      await client.end();
      await database.drop();
      expect(rows[0]?.server_version).toMatch(/^15\./);
    });

    rowSecurity('15');
  });
} else {
  describe('PostgreSQL 15', () => {
    it('is not on this machine, so that only the embedded version is tested', () => {
      expect(hasPostgres15()).toBe(false);
    });
  });
}
