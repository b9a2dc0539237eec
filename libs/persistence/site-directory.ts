import type { DataSource } from 'typeorm';
import { SiteDirectory } from '#application';
import { translateFailure } from './failures.js';

/** Which sites there are, through a function that gives nothing else of them. */
export class PostgresSiteDirectory extends SiteDirectory {
  constructor(private readonly source: DataSource) {
    super();
  }

  async list(): Promise<{ siteId: string; slug: string; name: string }[]> {
    try {
      const rows = await this.source.query<{ site_id: string; slug: string; name: string }[]>(
        'select site_id, slug, name from list_sites()',
      );
      return rows.map(({ site_id, slug, name }) => ({ siteId: site_id, slug, name }));
    } catch (error) {
      throw translateFailure(error);
    }
  }
}
