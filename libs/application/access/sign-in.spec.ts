import { describe, expect, it } from '@jest/globals';
import { RandomSessionTokens } from '#access';
import {
  aHospital,
  DirectoryInMemory,
  NURSE_ID,
  PASSWORD,
  PlainHasher,
  refusalOf,
} from '../testing/hospital.fixture.js';
import { CredentialCheck } from './credential-check.js';
import { ReadSession } from './read-session.js';
import { SignIn } from './sign-in.js';
import { SignOut } from './sign-out.js';

function aDoor() {
  const hospital = aHospital();
  const directory = new DirectoryInMemory(hospital);
  const hasher = new PlainHasher();
  const tokens = new RandomSessionTokens();
  const signIn = new SignIn(hospital, directory, new CredentialCheck(directory, hasher), tokens);
  return { hospital, directory, hasher, tokens, signIn, signOut: new SignOut(directory, tokens) };
}

describe('signing in', () => {
  it('opens a session under the hash of a new token, and greets by name', async () => {
    const { hospital, directory, tokens, signIn } = aDoor();
    const { token, session } = await signIn.execute({ login: 's1003', password: PASSWORD });

    expect(session).toMatchObject({
      role: 'nurse',
      displayName: 'Nell Okonjo-Vale',
      siteName: 'Saltmarsh General',
      personId: NURSE_ID,
    });
    expect([...directory.sessions.keys()]).toEqual([tokens.hash(token)]);
    expect(JSON.stringify([...directory.sessions])).not.toContain(token);
    expect(hospital.stored.ledger.at(-1)).toMatchObject({ action: 'session.opened', personId: NURSE_ID });
  });

  it('gives another token each time', async () => {
    const { signIn } = aDoor();
    const enter = async () => (await signIn.execute({ login: 's1003', password: PASSWORD })).token;

    expect(await enter()).not.toBe(await enter());
  });

  it('greets a role that opens no identity by its login', async () => {
    const { signIn } = aDoor();

    expect((await signIn.execute({ login: 's1005', password: PASSWORD })).session.displayName).toBe('s1005');
  });

  it('refuses a wrong password and an unknown login in the same words, after the same work', async () => {
    const { directory, hasher, signIn } = aDoor();
    const wrong = await refusalOf(() => signIn.execute({ login: 's1003', password: 'another pass phrase' }));
    const unknown = await refusalOf(() => signIn.execute({ login: 'nobody', password: 'another pass phrase' }));

    expect(unknown).toEqual(wrong);
    expect(wrong).toMatchObject({ code: 'sign-in-refused' });
    expect(hasher.compared).toEqual([expect.stringContaining('hash of'), null]);
    expect(directory.sessions.size).toBe(0);
  });

  it('refuses an account without a password', async () => {
    const { hospital, signIn } = aDoor();
    hospital.stored.accounts = hospital.stored.accounts.map((account) => ({ ...account, passwordHash: null }));

    expect(await refusalOf(() => signIn.execute({ login: 's1003', password: PASSWORD }))).toMatchObject({
      code: 'sign-in-refused',
    });
  });
});

describe('signing out', () => {
  it('ends the session on the server, and does no harm twice', async () => {
    const { directory, signIn, signOut } = aDoor();
    const { token } = await signIn.execute({ login: 's1003', password: PASSWORD });
    await signOut.execute(token);

    expect(directory.sessions.size).toBe(0);
    await signOut.execute(token);
    await signOut.execute('never given');
  });
});

describe('reading the session', () => {
  it('greets whoever is signed in', async () => {
    const { hospital } = aDoor();
    const [account] = hospital.stored.accounts.filter(({ login }) => login === 's1001');
    if (!account) throw new Error('There is no such account.');

    expect(await new ReadSession(hospital).execute(account)).toMatchObject({
      role: 'wearer',
      displayName: 'Wren Ashdown',
    });
    expect(
      await new ReadSession(hospital).execute({
        ...account,
        role: 'infection-control',
        login: 'control',
      }),
    ).toMatchObject({ displayName: 'control' });
  });
});
