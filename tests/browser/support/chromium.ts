import axe, { type AxeResults } from 'axe-core';
import { existsSync } from 'node:fs';
import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';

/** Long for a page, short for a person who waits for a failing test. */
const PATIENCE_MILLISECONDS = 10_000;

const EXECUTABLE = '/usr/bin/chromium';

export async function launchChromium(): Promise<Browser> {
  if (!existsSync(EXECUTABLE)) throw new Error(`These tests need Chromium at ${EXECUTABLE}.`);
  return chromium.launch({
    executablePath: EXECUTABLE,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** One person at one device. Whatever the page says to the console as an error, beyond a refused request, is kept. */
export interface Visitor {
  readonly page: Page;
  readonly complaints: readonly string[];
  leave(): Promise<void>;
}

/** What the browser itself writes for every answer that is not a success; the pages deal with those. */
const REFUSED_REQUEST = /^Failed to load resource/;

export async function visit(browser: Browser, baseURL: string, options: BrowserContextOptions = {}): Promise<Visitor> {
  const context = await browser.newContext({
    baseURL,
    locale: 'en-GB',
    timezoneId: 'Europe/Madrid',
    viewport: { width: 1024, height: 768 },
    ...options,
  });
  context.setDefaultTimeout(PATIENCE_MILLISECONDS);
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' && !REFUSED_REQUEST.test(message.text())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  return { page, complaints, leave: () => context.close() };
}

export async function signIn(page: Page, login: string, password: string): Promise<void> {
  await page.goto('/');
  await page.getByLabel('Sign-in name').fill(login);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('navigation', { name: 'Pages' }).waitFor();
}

/** Every rule of WCAG 2.2 A and AA that can be checked by machine, on the page as it stands. */
export async function violationsOn(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const { violations } = (await page.evaluate(
    `axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })`,
  )) as AxeResults;
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' | ')}`);
}
