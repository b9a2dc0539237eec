import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { aSetup, PASSWORD, startBareService, type BareService, type Client } from './support/site-in-use.js';

describe('setting up a new installation', () => {
  let service: BareService;
  let stranger: Client;

  beforeEach(async () => {
    service = await startBareService();
    ({ stranger } = service);
  });

  afterEach(() => service.stop());

  it('makes the first site, its units and its administrator, once', async () => {
    expect((await stranger.get('/setup').expect(200)).body).toEqual({ needed: true });

    const { body } = await stranger.post('/setup', aSetup(service.setupToken)).expect(201);

    expect((body as { units: { name: string }[] }).units.map(({ name }) => name)).toEqual([
      'Isolation unit',
      'Emergency department',
    ]);
    expect((await stranger.get('/setup').expect(200)).body).toEqual({ needed: false });
    const session = await stranger.post('/session', { login: 'administrator', password: PASSWORD }).expect(200);
    expect(session.body).toMatchObject({ role: 'administrator', siteName: 'Larkhill General', personId: null });
    const again = await stranger.post('/setup', aSetup(service.setupToken)).expect(403);
    expect(again.body).toMatchObject({ type: '/problems/setup-refused', errors: [{ pointer: '/token' }] });
  });

  it('happens once when the link is used twice at the same moment', async () => {
    const tries = await Promise.all(
      Array.from({ length: 8 }, () => stranger.post('/setup', aSetup(service.setupToken))),
    );

    expect(tries.filter(({ status }) => status === 201)).toHaveLength(1);
    expect(tries.filter(({ status }) => status === 403)).toHaveLength(7);
  });

  it.each([
    [{ token: 'another' }, 403, '/token'],
    [{ timeZone: 'Europe/Atlantis' }, 422, '/timeZone'],
    [{ password: 'short' }, 422, '/password'],
    [{ units: [] }, 400, '/units'],
    [{ units: ['One', 'One'] }, 422, '/units'],
    [{ occupationalHealth: { telephone: '3141', email: 'nowhere' } }, 422, '/occupationalHealth/email'],
    [{ emergency: { words: 'Call', telephone: 'call us' } }, 422, '/emergency/telephone'],
  ])('refuses %j by its field and leaves the link good', async (told, status, pointer) => {
    const { body } = await stranger.post('/setup', { ...aSetup(service.setupToken), ...told }).expect(status);

    expect(body).toMatchObject({ errors: [{ pointer, accepted: expect.any(String) }] });
    await stranger.post('/setup', aSetup(service.setupToken)).expect(201);
  });
});
