import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { Client, PASSWORD, PEOPLE, startSiteInUse, type SiteInUse } from './support/site-in-use.js';

describe('the session', () => {
  let site: SiteInUse;

  beforeAll(async () => {
    site = await startSiteInUse();
  });

  afterAll(() => site.stop());

  it('opens with login and password and says who is greeted', async () => {
    const response = await site.stranger.post('/session', { login: 'nurse', password: PASSWORD }).expect(200);

    expect(response.body).toEqual({
      accountId: expect.stringMatching(/^[0-9a-f-]{36}$/),
      role: 'nurse',
      displayName: PEOPLE.nurse.name,
      siteId: site.siteId,
      siteName: 'Larkhill General',
      personId: site.personIds.nurse,
    });
    const [cookie = ''] = response.headers['set-cookie'] as unknown as string[];
    expect(cookie).toMatch(/^__Host-innerglove=[A-Za-z0-9_-]{43}; Path=\/; HttpOnly; Secure; SameSite=Strict$/);
    expect(response.headers['cache-control']).toBe('no-store');
  });

  it('says the same of a wrong password and of a login that nobody has', async () => {
    const wrong = await site.stranger.post('/session', { login: 'nurse', password: 'not this one' }).expect(401);
    const unknown = await site.stranger.post('/session', { login: 'nobody', password: PASSWORD }).expect(401);

    const { instance: _, ...first } = wrong.body as { instance: string };
    const { instance: __, ...second } = unknown.body as { instance: string };
    expect(first).toEqual(second);
    expect(first).toMatchObject({ type: '/problems/sign-in-refused' });
    expect(wrong.headers['set-cookie']).toBeUndefined();
  });

  it('gives every sign-in a token of its own', async () => {
    const open = () => site.stranger.post('/session', { login: 'wearer', password: PASSWORD }).expect(200);
    const [first, second] = [await open(), await open()];

    expect(first.headers['set-cookie']).not.toEqual(second.headers['set-cookie']);
  });

  it('is over for the server once it is ended', async () => {
    const opened = await site.stranger.post('/session', { login: 'wearer', password: PASSWORD }).expect(200);
    const [cookie = ''] = opened.headers['set-cookie'] as unknown as string[];
    const client = new Client(site, cookie.split(';')[0] ?? '');
    await client.get('/session').expect(200);

    const ended = await client.delete('/session').expect(204);

    expect(String(ended.headers['set-cookie'])).toMatch(/^__Host-innerglove=; .*Expires=Thu, 01 Jan 1970/);
    await client.get('/session').expect(401);
    await client.delete('/session').expect(204);
  });

  it('is asked for by everything else', async () => {
    for (const path of ['/session', '/sites/mine', '/incidents', '/plans', '/alerts', '/duty-statuses', '/tables']) {
      const { body } = await site.stranger.get(path).expect(401);
      expect(body).toMatchObject({ type: '/problems/unauthenticated', status: 401 });
    }
  });

  it('never lets a password or a token into the log', async () => {
    const opened = await site.stranger.post('/session', { login: 'wearer', password: PASSWORD }).expect(200);
    const token = /=([^;]+);/.exec(String(opened.headers['set-cookie']))?.[1] ?? 'none';

    expect(site.logged.join('')).not.toContain(PASSWORD);
    expect(site.logged.join('')).not.toContain(token);
  });
});
