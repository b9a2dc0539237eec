import type { Locator, Page } from 'playwright-core';
import { ISOLATION } from '../../api/support/site-in-use.js';

/** Touches a tile or button by what it says. */
export async function touch(page: Page, name: string | RegExp): Promise<void> {
  await page
    .locator('main')
    .getByRole('button', typeof name === 'string' ? { name, exact: true } : { name })
    .first()
    .click();
}

/** Chooses a radio or a tick by its words, as a finger does: on the label. */
export async function choose(within: Page | Locator, words: string): Promise<void> {
  await within.locator('label.choice').getByText(words, { exact: true }).first().click();
}

/** Answers up to the call-back: an outer glove torn through while caring, the skin wet, the rest not looked at. */
export async function tellTornGlove(page: Page): Promise<void> {
  await page.goto('/report');
  await touch(page, /I am out and first aid is done/);
  await touch(page, 'Me');
  await touch(page, ISOLATION);
  await touch(page, /^Outer nitrile gloves/);
  await touch(page, /^Go on with this/);
  await touch(page, /^Fully/);
  await touch(page, 'Torn');
  await touch(page, 'With the patient');
  await touch(page, '10 to 30 minutes ago');
  await touch(page, 'Skin was wet');
  await touch(page, 'This; the others are not known');
  await touch(page, 'Yes, call');
}

export async function sendWhatIsTold(page: Page): Promise<void> {
  await touch(page, 'Enough: the rest by telephone');
  await touch(page, /^Send the report/);
}

export async function waitUntilKept(page: Page): Promise<void> {
  await page.getByRole('heading', { name: 'Kept. What to do now' }).waitFor();
}
