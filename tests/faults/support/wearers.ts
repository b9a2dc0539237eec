import { randomUUID } from 'node:crypto';
import type { ServiceUnderFault } from './service-under-fault.js';

const PASSWORD = 'seven quiet storks at dawn';

/** Sets the service up by its one-time link, enters wearers and signs them in; returns their session cookies. */
export async function enterWearers({ address, setupToken }: ServiceUnderFault, count: number): Promise<string[]> {
  const post = async (path: string, body: object, cookie = ''): Promise<Response> => {
    const response = await fetch(`${address}/api/v1${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'idempotency-key': randomUUID(), cookie },
      body: JSON.stringify(body),
    });
    if (!response.ok) throw new Error(`${path} was answered with ${response.status}: ${await response.text()}`);
    return response;
  };
  const signIn = async (login: string): Promise<string> => {
    const response = await post('/session', { login, password: PASSWORD });
    return response.headers.getSetCookie()[0]?.split(';')[0] ?? '';
  };
  const setUp = await post('/setup', {
    token: setupToken,
    siteName: 'Larkhill General',
    timeZone: 'Europe/Madrid',
    units: ['Isolation unit'],
    emergency: { words: 'Collapse or heavy bleeding: call the emergency team.', telephone: '2222' },
    occupationalHealth: { telephone: '3141', email: 'occupational-health@larkhill.example' },
    onCallClinician: { telephone: '3142' },
    login: 'administrator',
    password: PASSWORD,
  });
  const { units } = (await setUp.json()) as { units: { unitId: string }[] };
  const administrator = await signIn('administrator');
  const cookies: string[] = [];
  for (let number = 1; number <= count; number += 1) {
    const login = `wearer-${number}`;
    await post(
      '/people',
      {
        name: `Wearer ${number}`,
        staffNumber: `S-${1000 + number}`,
        unitId: units[0]?.unitId,
        job: 'Nurse',
        account: { login, password: PASSWORD, role: 'wearer' },
      },
      administrator,
    );
    cookies.push(await signIn(login));
  }
  return cookies;
}
