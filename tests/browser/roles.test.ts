import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { PASSWORD, PEOPLE } from '../api/support/site-in-use.js';
import { launchChromium, signIn, visit, type Visitor } from './support/chromium.js';
import { openHospital, openUnset, type Hospital } from './support/hospital.js';
import { sendWhatIsTold, tellTornGlove, touch, waitUntilKept } from './support/reporting.js';

let hospital: Hospital;
let browser: Browser;

beforeAll(async () => {
  [hospital, browser] = await Promise.all([openHospital(), launchChromium()]);
  const { page, leave } = await visit(browser, hospital.address);
  await signIn(page, PEOPLE.wearer.login, PASSWORD);
  await tellTornGlove(page);
  await sendWhatIsTold(page);
  await waitUntilKept(page);
  await leave();
});

afterAll(async () => {
  await browser.close();
  await hospital.close();
});

const places = (page: Page) => page.getByRole('navigation', { name: 'Pages' }).getByRole('link').allInnerTexts();

const as = async (login: string): Promise<Visitor> => {
  const visitor = await visit(browser, hospital.address);
  await signIn(visitor.page, login, PASSWORD);
  return visitor;
};

describe('the manager', () => {
  /** Words from which a diagnosis, a way of infection or a test could be read. */
  const CLINICAL =
    /ebola|marburg|lassa|virus|infect|fever|expos|risk|blood|fluid|skin|breach|torn|glove|layer|symptom|temperature|categor|level \d|contact with|quarantine|monitor|agent/i;

  it('sees who may do what work and until when, and no clinical word on the page or in what the page was sent', async () => {
    const { page, leave, complaints } = await visit(browser, hospital.address);
    const received: string[] = [];
    page.on('response', (response) => {
      if (!response.url().includes('/api/v1/duty-statuses')) return;
      void response.text().then((text) => received.push(text));
    });
    await signIn(page, PEOPLE.manager.login, PASSWORD);
    await page.getByRole('heading', { name: 'Team' }).waitFor();
    const row = page.getByRole('row').filter({ hasText: PEOPLE.wearer.name });
    await row.waitFor();
    expect(await row.innerText()).toMatch(/Not to be rostered until occupational health has decided/);
    expect(await page.getByRole('main').innerText()).not.toMatch(CLINICAL);
    expect(received.length).toBeGreaterThan(0);
    for (const text of received) expect(text.replaceAll('"no-patient-contact"', '')).not.toMatch(CLINICAL);
    expect(complaints).toEqual([]);
    await leave();
  });

  it('sees nobody of another team', async () => {
    const { page, leave } = await as(PEOPLE.otherManager.login);
    await page.getByText('Everybody in your team may do all work.').waitFor();
    expect(await page.getByRole('main').innerText()).not.toContain(PEOPLE.wearer.name);
    await leave();
  });

  it('is refused at the address of a page that is not theirs', async () => {
    const { page, leave } = await as(PEOPLE.manager.login);
    await page.goto('/cases');
    await page.getByRole('alert').first().waitFor();
    expect(await page.getByRole('main').innerText()).not.toMatch(CLINICAL);
    await leave();
  });
});

describe('the navigation', () => {
  it('shows each role only the pages that it may use', async () => {
    const seen: Record<string, string[]> = {};
    for (const login of [
      PEOPLE.wearer.login,
      PEOPLE.nurse.login,
      PEOPLE.infectionControl.login,
      PEOPLE.manager.login,
      'administrator',
    ]) {
      const { page, leave } = await as(login);
      seen[login] = await places(page);
      await leave();
    }
    expect(seen).toEqual({
      [PEOPLE.wearer.login]: ['Report', 'Round'],
      [PEOPLE.nurse.login]: ['Cases', 'Report', 'Round', 'Learning', 'Rulebook'],
      [PEOPLE.infectionControl.login]: ['Cases', 'Learning', 'Rulebook'],
      [PEOPLE.manager.login]: ['Team'],
      administrator: ['Site'],
    });
  });
});

describe('infection control', () => {
  it('reads a case under a pseudonym, without a name, a number or a word of the account', async () => {
    const { page, leave } = await as(PEOPLE.infectionControl.login);
    await page.locator('.queue-name').first().click();
    await page.getByRole('heading', { name: 'What was told' }).waitFor();
    const text = await page.getByRole('main').innerText();
    expect(text).not.toContain(PEOPLE.wearer.name);
    expect(text).not.toContain(PEOPLE.wearer.staffNumber);
    expect(await page.getByRole('button', { name: 'Sign the decision' }).count()).toBe(0);
    await leave();
  });

  it('counts with what each number rests on, and says that uses nobody entered are not known', async () => {
    const { page, leave } = await as(PEOPLE.infectionControl.login);
    await page.goto('/learning');
    await page.getByRole('table', { name: /Which layer \(n = 1 / }).waitFor();
    const units = page.getByRole('table', { name: /In which unit/ });
    expect(await units.innerText()).toMatch(/not known/);
    await leave();
  });
});

describe('a shared tablet', () => {
  it('shows nothing of the last person to the next one who signs in', async () => {
    const { page, leave } = await as(PEOPLE.nurse.login);
    await page.getByRole('link', { name: PEOPLE.wearer.name }).waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByLabel('Sign-in name').waitFor();
    expect(await page.content()).not.toContain(PEOPLE.wearer.name);
    await page.getByLabel('Sign-in name').fill(PEOPLE.manager.login);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('navigation', { name: 'Pages' }).waitFor();
    expect(await places(page)).toEqual(['Team']);
    await leave();
  });

  it('keeps what was typed when the session runs out, and goes on with it after a new sign-in', async () => {
    const { page, leave } = await as(PEOPLE.wearer.login);
    await tellTornGlove(page);
    await page.context().clearCookies();
    await page.evaluate(`document.dispatchEvent(new Event('visibilitychange'))`);
    await sendWhatIsTold(page);
    await touch(page, 'Sign in again');
    await page.getByText('Your sign-in has run out.').waitFor();
    await page.getByLabel('Sign-in name').fill(PEOPLE.wearer.login);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await waitUntilKept(page);
    await leave();
  });

  it('refuses a wrong password in plain words and keeps the name', async () => {
    const { page, leave } = await visit(browser, hospital.address);
    await page.goto('/');
    await page.getByLabel('Sign-in name').fill(PEOPLE.wearer.login);
    await page.getByLabel('Password').fill('not the password');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').waitFor();
    expect(await page.getByLabel('Sign-in name').inputValue()).toBe(PEOPLE.wearer.login);
    await leave();
  });
});

describe('a new installation', () => {
  it('is set up once from its link, with what is wrong shown next to its field', async () => {
    const unset = await openUnset();
    const { page, leave, complaints } = await visit(browser, unset.address);
    await page.goto(`/setup#token=${unset.setupToken}`);
    const fill = (label: string, value: string) => page.getByLabel(label, { exact: true }).fill(value);
    await fill('Name of the hospital or site', 'Larkhill General');
    await fill('Its clock', 'Europe/Atlantis');
    await fill('Units where the protective clothing is worn', 'Isolation unit\nEmergency department');
    await fill('Emergency: words', 'Call the emergency team');
    await fill('Emergency: number', '2222');
    await fill('Occupational health: number', '3141');
    await fill('Occupational health: mail', 'occupational-health@larkhill.example');
    await fill('Sign-in name', 'administrator');
    await fill('Password', PASSWORD);
    await fill('Password, once more', PASSWORD);
    await touch(page, 'Set up this site');
    await page.locator('.field').filter({ hasText: 'Its clock' }).locator('.field-fault').waitFor();
    expect(await page.getByLabel('Name of the hospital or site').inputValue()).toBe('Larkhill General');
    await fill('Its clock', 'Europe/Madrid');
    await touch(page, 'Set up this site');
    await page.getByText('Larkhill General is set up.').waitFor();
    await page.getByRole('link', { name: 'Sign in as administrator' }).click();
    await page.getByLabel('Sign-in name').fill('administrator');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { name: 'Site', level: 1 }).waitFor();
    expect(complaints).toEqual([]);
    await leave();
    await unset.close();
  });
});
