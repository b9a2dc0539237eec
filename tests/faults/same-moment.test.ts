import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { aReport } from '../api/support/reports.js';
import { startSiteInUse, type SiteInUse } from '../api/support/site-in-use.js';

describe('reports of several people at the same moment', () => {
  let site: SiteInUse;

  beforeAll(async () => {
    site = await startSiteInUse();
  });

  afterAll(() => site.stop());

  it('are all accepted at the first sending, although each of them is the first to name the source', async () => {
    for (let bed = 1; bed <= 5; bed += 1) {
      const answers = await Promise.all(
        (['wearer', 'colleague', 'nurse', 'secondNurse', 'wearer', 'colleague'] as const).map((part) =>
          site.as(part).create('/incidents', aReport({ source: `Bed ${bed}` })),
        ),
      );

      expect(answers.map(({ status }) => status)).toEqual(answers.map(() => 201));
    }
    const { body } = await site.as('nurse').get('/sources').expect(200);
    const { items } = body as { items: { pseudonym: string }[] };
    expect(items.map(({ pseudonym }) => pseudonym)).toEqual(['Bed 1', 'Bed 2', 'Bed 3', 'Bed 4', 'Bed 5']);
  });
});
