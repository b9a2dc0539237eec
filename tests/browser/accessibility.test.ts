import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { ISOLATION, PASSWORD, PEOPLE } from '../api/support/site-in-use.js';
import { launchChromium, signIn, violationsOn, visit } from './support/chromium.js';
import { openHospital, type Hospital } from './support/hospital.js';
import { choose, sendWhatIsTold, tellTornGlove, touch, waitUntilKept } from './support/reporting.js';

// Every rule on every state of a page takes a while on a busy machine.
jest.setTimeout(180_000);

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

const APPEARANCES = [
  ['light', { colorScheme: 'light' }],
  ['dark', { colorScheme: 'dark' }],
  ['light on a telephone', { colorScheme: 'light', viewport: { width: 390, height: 844 } }],
] as const;

describe.each(APPEARANCES)('no page breaks a rule of WCAG 2.2 A and AA, %s', (_name, appearance) => {
  const as = async (login: string | null, look: (page: Page, check: () => Promise<void>) => Promise<void>) => {
    const { page, leave } = await visit(browser, hospital.address, appearance);
    if (login !== null) await signIn(page, login, PASSWORD);
    await look(page, async () => {
      expect({ at: page.url(), violations: await violationsOn(page) }).toEqual({ at: page.url(), violations: [] });
    });
    await leave();
  };

  it('the sign-in, also when it was refused', () =>
    as(null, async (page, check) => {
      await page.goto('/');
      await page.getByLabel('Sign-in name').waitFor();
      await check();
      await page.getByLabel('Sign-in name').fill('nobody');
      await page.getByLabel('Password').fill('nothing');
      await touch(page, 'Sign in');
      await page.getByRole('alert').waitFor();
      await check();
    }));

  it('the report, every kind of question, and what follows it', () =>
    as(PEOPLE.colleague.login, async (page, check) => {
      await page.goto('/report');
      await page.getByRole('heading', { name: 'Out: first aid' }).waitFor();
      await check();
      await page.getByRole('button', { name: /^First aid/ }).click();
      await check();
      await page.getByRole('button', { name: /^First aid/ }).click();
      await touch(page, /I am out and first aid is done/);
      await touch(page, /^A colleague/);
      await check();
      await touch(page, 'Me');
      await touch(page, ISOLATION);
      await check();
      await touch(page, /^Outer nitrile gloves/);
      await check();
      await touch(page, /^Go on with this/);
      await touch(page, /^Fully/);
      await touch(page, 'Torn');
      await touch(page, 'With the patient');
      await touch(page, 'I know the time');
      await check();
      await touch(page, '10 to 30 minutes ago');
      await touch(page, 'Skin was wet');
      await check();
      await touch(page, 'This; the others are not known');
      await touch(page, 'Yes, call');
      await check();
      await touch(page, 'Enough: the rest by telephone');
      await check();
      await touch(page, /^Send the report/);
      await waitUntilKept(page);
      await check();
    }));

  it('the wearer’s follow-up with a reading', () =>
    as(PEOPLE.wearer.login, async (page, check) => {
      await page.goto('/round');
      await page.getByRole('textbox', { name: 'Temperature' }).fill('36.9');
      await choose(page, 'Mouth');
      await choose(page, 'Yes');
      await check();
      await page.goto('/round');
      await page.getByRole('textbox', { name: 'Temperature' }).fill('36.9');
      await choose(page, 'Mouth');
      await choose(page, 'None of these');
      await touch(page, 'Keep this reading');
      await page.getByText('The reading is kept.').waitFor();
      await page.getByRole('table', { name: /Readings/ }).waitFor();
      await check();
    }));

  it('the nurse’s pages', () =>
    as(PEOPLE.nurse.login, async (page, check) => {
      await page.getByRole('link', { name: PEOPLE.wearer.name }).first().waitFor();
      await check();
      await page.getByRole('link', { name: PEOPLE.wearer.name }).first().click();
      await page.getByRole('heading', { name: 'What was told' }).waitFor();
      await page.getByText('Amend what was told').click();
      await page.getByText('Zone by zone, in words').click();
      await page.locator('#decision').getByText('Depart from it', { exact: true }).click();
      await check();
      await page.goto('/round');
      await page.getByText(`Readings of ${PEOPLE.wearer.name}`).first().click();
      await page.getByRole('textbox', { name: 'Temperature' }).first().waitFor();
      await check();
      await page.goto('/rulebook');
      await page.getByRole('table', { name: /Tables/ }).waitFor();
      await check();
      await page.goto('/rulebook/vhf-uk-acdp');
      await page.getByRole('heading', { name: 'Confirm what was remembered' }).waitFor();
      await check();
    }));

  it('the pages of infection control, the manager and the administrator', async () => {
    await as(PEOPLE.infectionControl.login, async (page, check) => {
      await page.goto('/learning');
      await page.getByRole('table', { name: /Which layer/ }).waitFor();
      await check();
    });
    await as(PEOPLE.manager.login, async (page, check) => {
      await page.getByRole('row').nth(1).waitFor();
      await check();
    });
    await as('administrator', async (page, check) => {
      await page.getByRole('table', { name: /Accounts/ }).waitFor();
      await choose(page, 'With an account');
      await check();
    });
  });
});

describe('for those who see or move differently', () => {
  it('keeps every control visible in forced colours and names the page in the tab', async () => {
    const { page, leave } = await visit(browser, hospital.address, { forcedColors: 'active' });
    await signIn(page, PEOPLE.wearer.login, PASSWORD);
    await page.goto('/report');
    await touch(page, /I am out and first aid is done/);
    expect(await page.title()).toBe('Who is this report about? – Innerglove');
    const border = await page
      .locator('.tile')
      .first()
      .evaluate('getComputedStyle(document.querySelector(".tile")).borderTopWidth');
    expect(border).toBe('2px');
    expect(await violationsOn(page)).toEqual([]);
    await leave();
  });

  it('moves nothing when less motion is asked for', async () => {
    const { page, leave } = await visit(browser, hospital.address, { reducedMotion: 'reduce' });
    await signIn(page, PEOPLE.colleague.login, PASSWORD);
    await tellTornGlove(page);
    await sendWhatIsTold(page);
    await waitUntilKept(page);
    const animation = await page.evaluate(`getComputedStyle(document.querySelector('.kept')).animationName`);
    expect(animation).toBe('none');
    await leave();
  });

  it('lets the keyboard skip to the page', async () => {
    const { page, leave } = await visit(browser, hospital.address);
    await signIn(page, PEOPLE.nurse.login, PASSWORD);
    await page.goto('/cases');
    await page.getByRole('heading', { name: 'Cases' }).waitFor();
    await page.evaluate('document.body.focus(); document.activeElement.blur()');
    await page.getByRole('link', { name: 'Skip to the page' }).focus();
    await page.keyboard.press('Enter');
    expect(new URL(page.url()).hash).toBe('#content');
    await leave();
  });

  it('never needs a sideways scroll of the page at 320 px, which is 400 % of 1280', async () => {
    const { page, leave } = await visit(browser, hospital.address, { viewport: { width: 320, height: 640 } });
    await signIn(page, PEOPLE.nurse.login, PASSWORD);
    for (const path of ['/cases', '/report', '/round', '/learning', '/rulebook', '/rulebook/vhf-cdc-2023']) {
      await page.goto(path);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForTimeout(500);
      const [wide, room] = (await page.evaluate(
        '[document.documentElement.scrollWidth, document.documentElement.clientWidth]',
      )) as [number, number];
      expect({ path, wide }).toEqual({ path, wide: room });
    }
    await leave();
  });
});
