import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from '@jest/globals';
import type { Browser, Page, Request } from 'playwright-core';
import { ISOLATION, PASSWORD, PEOPLE } from '../api/support/site-in-use.js';
import { launchChromium, signIn, visit, type Visitor } from './support/chromium.js';
import { openHospital, type Hospital } from './support/hospital.js';
import { sendWhatIsTold, tellTornGlove, touch, waitUntilKept } from './support/reporting.js';

let hospital: Hospital;
let browser: Browser;
let wearer: Visitor;

beforeAll(async () => {
  [hospital, browser] = await Promise.all([openHospital(), launchChromium()]);
});

afterAll(async () => {
  await browser.close();
  await hospital.close();
});

beforeEach(async () => {
  wearer = await visit(browser, hospital.address);
  await signIn(wearer.page, PEOPLE.wearer.login, PASSWORD);
});

afterEach(() => wearer.leave());

interface SentReport {
  readonly reportId: string;
  readonly eventId?: string;
  readonly wearer: unknown;
  readonly [field: string]: unknown;
}

const reportsSentFrom = (page: Page): SentReport[] => {
  const sent: SentReport[] = [];
  page.on('request', (request: Request) => {
    if (request.method() === 'POST' && request.url().endsWith('/api/v1/incidents')) {
      sent.push(request.postDataJSON() as SentReport);
    }
  });
  return sent;
};

/** What the service holds of the wearer's own reports, newest told last. */
const ownIncidents = async (page: Page): Promise<{ incidentId: string; eventId: string }[]> => {
  const answer = await page.context().request.get('/api/v1/incidents?limit=200');
  return ((await answer.json()) as { items: { incidentId: string; eventId: string }[] }).items;
};

const ownIncident = async (page: Page, incidentId: string) => {
  const answer = await page.context().request.get(`/api/v1/incidents/${incidentId}`);
  return (await answer.json()) as { incident: { reportId: string; content: Record<string, unknown> } };
};

const heading = (page: Page) => page.getByRole('heading', { level: 1 }).innerText();

describe('answering "not known"', () => {
  it('takes one touch at every question that can be unknown, and never becomes a "no"', async () => {
    const { page } = wearer;
    const sent = reportsSentFrom(page);
    await page.goto('/report');
    await touch(page, /I am out and first aid is done/);
    await touch(page, 'Me');
    await touch(page, ISOLATION);
    const notKnown = page.getByRole('main').getByRole('button', { name: /^Not known|^Nobody, or not known/ });
    const asked: string[] = [];
    for (let left = 30; left > 0; left--) {
      const title = await heading(page);
      if (title === 'Is this how it was?') break;
      asked.push(title);
      if (title === 'Shall occupational health call you?') await touch(page, 'Yes, call');
      else if (title === 'Anything in your own words?') await touch(page, 'Nothing to add');
      else {
        expect(await notKnown.count()).toBe(1);
        expect(await notKnown.getAttribute('aria-pressed')).toBe('false');
        await notKnown.click();
      }
      await page.getByRole('heading', { level: 1 }).filter({ hasNotText: title }).waitFor();
    }
    expect(asked.length).toBeGreaterThan(10);
    await touch(page, /^Send the report/);
    await waitUntilKept(page);

    expect(sent).toHaveLength(1);
    expect(JSON.stringify(sent[0])).not.toContain('"no"');
    expect(sent[0]).toMatchObject({ kind: 'breach', breaches: [], foundWhole: [] });
    const kept = await Promise.all((await ownIncidents(page)).map(({ incidentId }) => ownIncident(page, incidentId)));
    const content = kept.find(({ incident }) => incident.reportId === sent[0]?.reportId)?.incident.content;
    expect(content).toMatchObject({
      fluid: 'unknown',
      task: 'not-known',
      certainty: 'unknown',
      anyoneElse: 'unknown',
      leftAreaAt: null,
      firstAid: [],
      seen: {
        skinWet: 'unknown',
        skinCut: 'unknown',
        eyeSplash: 'unknown',
        mouthNoseSplash: 'unknown',
        sharpsInjury: 'unknown',
        brokenSkinBefore: 'unknown',
      },
    });
  });

  it('says "no" only where somebody looked', async () => {
    const { page } = wearer;
    const sent = reportsSentFrom(page);
    await tellTornGlove(page);
    await touch(page, 'Enough: the rest by telephone');
    await page.getByRole('button', { name: 'Change: What reached your body?' }).click();
    await touch(page, 'Only this: we looked for the others');
    await touch(page, /^Send the report/);
    await waitUntilKept(page);
    expect(sent[0]?.seen).toMatchObject({ skinWet: 'yes', skinCut: 'no', eyeSplash: 'no', sharpsInjury: 'no' });
  });
});

describe('with the keyboard alone', () => {
  /** Walks on with the Tab key until what has the focus says this. */
  const walkTo = async (page: Page, words: RegExp) => {
    for (let steps = 0; steps < 80; steps++) {
      const focused = (await page.evaluate(
        `(document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent ?? '')`,
      )) as string;
      if (words.test(focused)) return;
      await page.keyboard.press('Tab');
    }
    throw new Error(`The Tab key never reached ${words}.`);
  };
  const press = async (page: Page, words: RegExp, key: 'Enter' | 'Space' = 'Enter') => {
    await walkTo(page, words);
    await page.keyboard.press(key);
  };

  it('a report is told and sent, the layer chosen on the way', async () => {
    const { page } = wearer;
    await page.goto('/report');
    await page.getByRole('heading', { name: 'Out: first aid' }).waitFor();
    await press(page, /^I am out/);
    await press(page, /^Me$/);
    await press(page, new RegExp(`^${ISOLATION}`));
    await press(page, /^Outer nitrile gloves/, 'Space');
    await press(page, /^Go on with this/);
    await press(page, /^Partly/);
    await press(page, /^Torn/);
    await press(page, /^While taking off/);
    await press(page, /outer gloves/i);
    await press(page, /^In the last 10 minutes/);
    await press(page, /^None of these/);
    await press(page, /^Yes, call/);
    await press(page, /^Enough/);
    await press(page, /^Send the report/);
    await waitUntilKept(page);
  });

  it('each new question takes the focus, so that it is read out', async () => {
    const { page } = wearer;
    await page.goto('/report');
    await touch(page, /I am out and first aid is done/);
    expect(await page.evaluate('document.activeElement?.tagName')).toBe('H1');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Where did it happen?' }).waitFor();
    expect(await page.evaluate('document.activeElement?.textContent')).toBe('Where did it happen?');
  });

  it('a part of the figure narrows the list to the layers over it', async () => {
    const { page } = wearer;
    await page.goto('/report');
    await touch(page, /I am out and first aid is done/);
    await touch(page, 'Me');
    await touch(page, ISOLATION);
    await press(page, /^Head and face$/, 'Space');
    await page.getByRole('heading', { name: /Layers over: Head and face/ }).waitFor();
    const layers = page.getByRole('region', { name: /Layers over/ });
    expect(await layers.getByRole('button', { name: /respirator/i }).count()).toBe(1);
    expect(await layers.getByRole('button', { name: /gloves/i }).count()).toBe(0);
  });
});

describe('on a tablet', () => {
  it('gives every answer a target of at least 128 px, 16 px apart', async () => {
    const { page } = wearer;
    await page.goto('/report');
    await touch(page, /I am out and first aid is done/);
    await touch(page, 'Me');
    await touch(page, ISOLATION);
    const boxes = await Promise.all((await page.locator('.tiles .tile').all()).map((tile) => tile.boundingBox()));
    expect(boxes.length).toBeGreaterThan(8);
    for (const box of boxes) expect(box?.height).toBeGreaterThanOrEqual(128);
    const gap = await page.locator('.tiles').first().evaluate('getComputedStyle(document.querySelector(".tiles")).gap');
    expect(gap).toMatch(/^16px/);
  });

  it('goes one question back with the browser’s own way back, and keeps what was told', async () => {
    const { page } = wearer;
    await tellTornGlove(page);
    const title = await heading(page);
    await page.evaluate('history.back()');
    await page.getByRole('heading', { level: 1 }).filter({ hasNotText: title }).waitFor();
    expect(await heading(page)).toBe('Shall occupational health call you?');
    expect(await page.getByRole('button', { name: /^Yes, call/ }).getAttribute('aria-pressed')).toBe('true');
  });

  it('starts a report for the next person at the same event', async () => {
    const { page } = wearer;
    const sent = reportsSentFrom(page);
    await tellTornGlove(page);
    await sendWhatIsTold(page);
    await waitUntilKept(page);
    await touch(page, /^Report for the next person/);
    await touch(page, /^A colleague/);
    await page.getByLabel('The colleague’s staff number').fill(PEOPLE.colleague.staffNumber);
    await touch(page, 'Go on');
    await touch(page, ISOLATION);
    await touch(page, /^The face was touched/);
    await touch(page, /^Go on with this/);
    await touch(page, 'While taking off');
    await touch(page, /^Not known/);
    await touch(page, 'In the last 10 minutes');
    await touch(page, /^None of these/);
    await touch(page, 'No call needed now');
    await sendWhatIsTold(page);
    await waitUntilKept(page);
    expect(sent).toHaveLength(2);
    const [first] = (await ownIncidents(page)).filter(({ eventId }) => eventId === sent[1]?.eventId);
    expect(first).toBeDefined();
    expect(sent[1]).toMatchObject({ wearer: { staffNumber: PEOPLE.colleague.staffNumber }, kind: 'lapse' });
    expect(sent[1]?.reportId).not.toBe(sent[0]?.reportId);
  });

  it('names an unknown staff number next to its field and loses nothing that was told', async () => {
    const { page } = wearer;
    await tellTornGlove(page);
    await touch(page, 'Enough: the rest by telephone');
    await page.getByRole('button', { name: 'Change: Who is this report about?' }).click();
    await touch(page, /^A colleague/);
    await page.getByLabel('The colleague’s staff number').fill('S-9999');
    await touch(page, 'Go on');
    await touch(page, /^Send the report/);
    await page.getByRole('heading', { name: 'One answer needs a change' }).waitFor();
    await touch(page, 'Change it');
    expect(await page.getByLabel('The colleague’s staff number').inputValue()).toBe('S-9999');
    await touch(page, 'Me');
    await touch(page, /^Send the report/);
    await waitUntilKept(page);
  });
});

describe('while the service is down', () => {
  it('keeps the report, says so, and sends it once with the same ids when the service is back', async () => {
    const { page } = wearer;
    const sent = reportsSentFrom(page);
    await tellTornGlove(page);
    const before = (await ownIncidents(page)).length;
    await hospital.goDown();
    await sendWhatIsTold(page);
    await page.getByRole('heading', { name: 'This report is not yet sent' }).waitFor();
    await page.getByText('It is kept on this page only.').waitFor();
    expect(await page.getByRole('main').getByRole('link', { name: '3141' }).count()).toBe(1);
    expect(await page.evaluate('JSON.stringify([{ ...localStorage }, { ...sessionStorage }])')).not.toContain(
      'skinWet',
    );
    await hospital.comeBack();
    await touch(page, 'Send it now').catch(() => undefined);
    await page.getByRole('heading', { name: 'Kept. What to do now' }).waitFor({ timeout: 40_000 });
    expect(new Set(sent.map(({ reportId }) => reportId)).size).toBe(1);
    expect((await ownIncidents(page)).length).toBe(before + 1);
  });

  it('sends again with the same key when the answer was lost on the way, and the report is there once', async () => {
    const { page } = wearer;
    const keys: (string | undefined)[] = [];
    await tellTornGlove(page);
    const before = (await ownIncidents(page)).length;
    let lost = false;
    await page.route('**/api/v1/incidents', async (route) => {
      if (route.request().method() !== 'POST') return route.continue();
      keys.push(route.request().headers()['idempotency-key']);
      if (lost) return route.continue();
      lost = true;
      // The service gets it and keeps it; its answer never reaches the page.
      await route.fetch();
      return route.abort('connectionreset');
    });
    await sendWhatIsTold(page);
    await page.getByRole('heading', { name: 'Kept. What to do now' }).waitFor({ timeout: 40_000 });
    expect(keys.length).toBeGreaterThan(1);
    expect(new Set(keys).size).toBe(1);
    expect((await ownIncidents(page)).length).toBe(before + 1);
  });

  it('never sends it in the name of somebody else who has signed in meanwhile', async () => {
    const { page } = wearer;
    const sent = reportsSentFrom(page);
    await tellTornGlove(page);
    await touch(page, 'Enough: the rest by telephone');
    // In another window of the same browser.
    const other = await page.context().newPage();
    await other.context().clearCookies();
    await signIn(other, PEOPLE.colleague.login, PASSWORD);
    await touch(page, /^Send the report/);
    await page.getByRole('heading', { name: 'This report is not yet sent' }).waitFor();
    await page.getByText(/signs in again to send it/).waitFor();
    expect(sent).toEqual([]);
  });
});
