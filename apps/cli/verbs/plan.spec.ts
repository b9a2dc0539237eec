import { Readable, Writable } from 'node:stream';
import { describe, expect, it } from '@jest/globals';
import type { FollowUpPlan } from '#domain';
import { loadRulebook } from '#rulebook';
import { verb } from './plan.js';

type Printed = Omit<FollowUpPlan, 'profiles'> & { profile: string; categoryId: string };

async function plan(options: Record<string, string>): Promise<Printed> {
  let printed = '';
  const stdout = new Writable({
    write(chunk, _encoding, done) {
      printed += String(chunk);
      done();
    },
  });
  await verb.run(options, { stdin: Readable.from([]), stdout, stderr: stdout }, []);
  return JSON.parse(printed) as Printed;
}

const asked = { profile: 'ebola/cdc@2014', zone: 'Europe/London', 'exposed-at': '2026-10-20T08:00:00+01:00' };

describe('innerglove plan', () => {
  it('prints the window, the checks with their source, the restrictions and the cautions', async () => {
    const printed = await plan({ ...asked, category: 'high' });
    expect(printed).toMatchObject({
      profile: 'ebola/cdc@2014',
      category: 'High risk',
      categoryId: 'high',
      dayZero: '2026-10-20',
      lastDay: '2026-11-10',
      timeZone: 'Europe/London',
    });
    for (const check of printed.checks) {
      expect(check).toMatchObject({ kind: expect.any(String), label: expect.any(String) });
      expect(check.source.body).not.toBe('');
      expect(check.dueFrom).toMatch(/T\d{2}:\d{2}:\d{2}[+-]\d{2}:\d{2}$/);
      expect(check.dueUntil).toMatch(/T\d{2}:\d{2}:\d{2}[+-]\d{2}:\d{2}$/);
    }
    expect(printed.cautions[0]).toContain('emergency');
  });

  it('takes a category by its id or in the issuer’s words, whatever the case', async () => {
    const byId = await plan({ ...asked, category: 'some' });
    expect(await plan({ ...asked, category: 'SOME RISK' })).toEqual(byId);
    expect(byId.categoryId).toBe('some');
  });

  it('assumes the strictest without a category, and where the authority gave none', async () => {
    const assumed = await plan(asked);
    expect(assumed.categoryId).toBe(loadRulebook().profile('ebola/cdc@2014').strictest);
    expect(await plan({ ...asked, category: 'not classified by this authority' })).toEqual(assumed);
  });

  it('takes the ends of a list of exposures in any order', async () => {
    const both = '2026-10-25T10:00:00Z, 2026-10-20T10:00:00Z';
    const printed = await plan({ ...asked, 'exposed-at': both });
    expect(printed.dayZero).toBe('2026-10-25');
    expect(await plan({ ...asked, 'exposed-at': both.split(', ').reverse().join(',') })).toEqual(printed);
  });

  it.each([
    ['an unknown agent', { profile: 'dragon-pox/cdc' }, 'unknown-profile'],
    ['an unknown authority', { profile: 'ebola/nobody' }, 'unknown-profile'],
    ['an unknown category', { category: 'severe' }, 'unknown-category'],
    ['a zone that IANA does not know', { zone: 'Europe/Atlantis' }, 'unknown-time-zone'],
    ['a moment without an offset', { 'exposed-at': '2026-10-20T08:00:00' }, 'unreadable-instant'],
  ])('refuses %s, naming what would be accepted', async (_what, changes, code) => {
    await expect(plan({ ...asked, ...changes })).rejects.toMatchObject({ code, accepted: expect.any(String) });
  });

  it.each(['profile', 'zone', 'exposed-at'])('calls a missing --%s bad usage', async (name) => {
    await expect(plan({ ...asked, [name]: '' })).rejects.toMatchObject({ code: 'bad-usage' });
  });
});
