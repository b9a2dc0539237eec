import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { PASSWORD, PEOPLE } from '../api/support/site-in-use.js';
import { readPdf } from '../support/read-pdf.js';
import { launchChromium, signIn, visit, type Visitor } from './support/chromium.js';
import { openHospital, type Hospital } from './support/hospital.js';
import { choose, sendWhatIsTold, tellTornGlove, touch, waitUntilKept } from './support/reporting.js';

let hospital: Hospital;
let browser: Browser;

beforeAll(async () => {
  [hospital, browser] = await Promise.all([openHospital(), launchChromium()]);
});

afterAll(async () => {
  await browser.close();
  await hospital.close();
});

const openCaseOf = async (page: Page, name: string) => {
  await page.goto('/cases');
  await page.getByRole('link', { name }).click();
  await page.getByRole('heading', { name, level: 1 }).waitFor();
};

describe('a breach, from the report to its letter', () => {
  let wearer: Visitor;
  let nurse: Visitor;

  beforeAll(async () => {
    wearer = await visit(browser, hospital.address);
    nurse = await visit(browser, hospital.address, { viewport: { width: 1440, height: 900 } });
    await signIn(wearer.page, PEOPLE.wearer.login, PASSWORD);
    await signIn(nurse.page, PEOPLE.nurse.login, PASSWORD);
  });

  afterAll(async () => {
    await wearer.leave();
    await nurse.leave();
  });

  it('begins with what a report is never used for, and with first aid and the numbers before any question', async () => {
    const { page } = wearer;
    await page.goto('/report');
    const main = page.getByRole('main');
    await main.getByRole('heading', { name: 'Out: first aid' }).waitFor();
    expect(await main.locator('p').first().textContent()).toMatch(/never used for discipline/);
    const emergency = page.getByRole('complementary', { name: 'Emergency' });
    expect(await emergency.getByRole('link', { name: '2222' }).getAttribute('href')).toBe('tel:2222');
    expect(await emergency.getByRole('link', { name: '3141' }).count()).toBe(1);
  });

  it('is told by the wearer, who gets actions and never the category', async () => {
    const { page } = wearer;
    await tellTornGlove(page);
    await sendWhatIsTold(page);
    await waitUntilKept(page);
    const advice = await page.getByRole('main').innerText();
    expect(advice).toMatch(/until occupational health has/i);
    expect(advice).toMatch(/This layer failed/);
    expect(advice).not.toMatch(/high[- ]risk|level \d of 3/i);
  });

  it('stands first in the queue of the nurse, with the layer and the stage on its page', async () => {
    const { page } = nurse;
    await openCaseOf(page, PEOPLE.wearer.name);
    const text = await page.getByRole('main').innerText();
    expect(text).toMatch(/Outer nitrile gloves, with the patient/i);
    expect(text).toMatch(/Asked to be called/);
    expect(text).toMatch(/level \d of 3|no level/);
    expect(await page.getByRole('img', { name: /barrier as a drawing/ }).count()).toBe(1);
  });

  it('is not decided before the identity is confirmed, and nothing that was typed is lost by the refusal', async () => {
    const { page } = nurse;
    await choose(page, 'Confirm the assessment');
    await page.getByLabel('Reason (can be left empty)').fill('As told on the telephone.');
    await touch(page, 'Sign the decision');
    await page.locator('#decision').getByRole('alert').waitFor();
    expect(await page.getByLabel('Reason (can be left empty)').inputValue()).toBe('As told on the telephone.');
  });

  it('refuses a wrong staff number next to its field, and takes the right one', async () => {
    const { page } = nurse;
    const identity = page.locator('#identity');
    await identity.getByLabel('Staff number').fill(PEOPLE.colleague.staffNumber);
    await identity.getByLabel('Date of birth').fill(PEOPLE.wearer.dateOfBirth);
    await touch(page, 'It is this person');
    await identity
      .getByText(/do(es)? not|not the|differ/i)
      .first()
      .waitFor();
    await identity.getByLabel('Staff number').fill(PEOPLE.wearer.staffNumber);
    await touch(page, 'It is this person');
    await identity.getByText('Confirmed by two identifiers').waitFor();
  });

  it('is decided, and the decision stands on the page with its revision', async () => {
    const { page } = nurse;
    await touch(page, 'Sign the decision');
    await page
      .locator('#decision')
      .getByText(/as assessed, signed by you/)
      .waitFor();
  });

  it('closes its alert only with a recorded outcome', async () => {
    const { page } = nurse;
    const alerts = page.locator('#alerts');
    await alerts.getByRole('button', { name: 'I am on it' }).click();
    await alerts.getByText(/climbs again/).waitFor();
    expect(await alerts.getByRole('button', { name: 'Record the outcome and close' }).isDisabled()).toBe(true);
    await choose(alerts, 'Spoken to: well');
    await alerts.getByLabel('What was decided').fill('Stays at home, reads twice a day.');
    await alerts.getByRole('button', { name: 'Record the outcome and close' }).click();
    await alerts.getByRole('heading', { name: 'Alerts, all answered' }).waitFor();
  });

  it('has a letter that opens as a PDF naming the wearer and the layer, and is signed', async () => {
    const { page } = nurse;
    await touch(page, 'Make a letter');
    const link = page.locator('#letters').getByRole('link', { name: /Open the letter/ });
    await link.waitFor();
    const opened = await page.context().request.get((await link.getAttribute('href')) ?? '');
    expect(opened.headers()['content-type']).toBe('application/pdf');
    const letter = await readPdf(await opened.body());
    expect(letter.text).toContain(PEOPLE.wearer.name);
    expect(letter.text).toMatch(/outer nitrile gloves/i);
    await touch(page, 'Sign the letter');
    await page
      .locator('#letters')
      .getByText(/signed \d/)
      .waitFor();
    await page.getByRole('navigation', { name: 'What waits in this case' }).getByText('Letter signed').waitFor();
  });

  it('shows the wearer the own follow-up, what the manager sees, and takes a reading', async () => {
    const { page } = wearer;
    await page.goto('/round');
    await page.getByRole('heading', { name: 'Your follow-up' }).waitFor();
    await page.getByRole('heading', { name: 'What your manager sees' }).waitFor();
    await page.getByRole('textbox', { name: 'Temperature' }).fill('36.8');
    await choose(page, 'Ear');
    await choose(page, 'None of these');
    await touch(page, 'Keep this reading');
    await page.getByText('The reading is kept.').waitFor();
  });

  it('asks an implausible reading again, keeps it when it stands, and raises it to the nurse', async () => {
    const { page } = wearer;
    await page.getByRole('textbox', { name: 'Temperature' }).fill('73.8');
    await choose(page, 'Ear');
    await choose(page, 'None of these');
    await touch(page, 'Keep this reading');
    await page.getByRole('alert').getByText('Please look again').waitFor();
    expect(await page.getByRole('textbox', { name: 'Temperature' }).inputValue()).toBe('73.8');
    await touch(page, /It is right: keep 73.8/);
    await page.getByText('The reading is kept.').waitFor();
    await openCaseOf(nurse.page, PEOPLE.wearer.name);
    await nurse.page.locator('#alerts').getByText('Entry to be checked by telephone').first().waitFor();
  });

  it('refuses a temperature that no thermometer shows, next to the field and with what would be accepted', async () => {
    const { page } = wearer;
    await page.goto('/round');
    await page.getByRole('textbox', { name: 'Temperature' }).fill('370');
    await choose(page, 'Ear');
    await choose(page, 'None of these');
    await touch(page, 'Keep this reading');
    await page
      .locator('.field-fault')
      .getByText(/Accepted/)
      .waitFor();
    expect(await page.getByRole('textbox', { name: 'Temperature' }).getAttribute('aria-invalid')).toBe('true');
  });

  it('cannot be overwritten by a second nurse who has not seen the change, and keeps what that nurse typed', async () => {
    const second = await visit(browser, hospital.address);
    await signIn(second.page, PEOPLE.secondNurse.login, PASSWORD);
    await openCaseOf(second.page, PEOPLE.wearer.name);
    const address = second.page.url();
    const incident = `**/api/v1/incidents/${address.split('/').at(-1)}`;
    await second.page.getByText('Decide again', { exact: true }).click();
    await choose(second.page, 'Confirm the assessment');
    await second.page.getByLabel('Reason (can be left empty)').fill('Read before the change.');
    // From here on the second nurse's page hears of nothing new.
    await second.page.route(incident, (route) => route.abort());

    await nurse.page.goto(address);
    await nurse.page.getByText('Amend what was told').click();
    await nurse.page.getByLabel('In words (can be left empty)').fill('The cuff was taped.');
    await touch(nurse.page, 'Add the amendment');
    await nurse.page.getByText(/Kept as revision/).waitFor();

    await touch(second.page, 'Sign the decision');
    await second.page.locator('#decision').getByRole('alert').waitFor();
    expect(await second.page.getByLabel('Reason (can be left empty)').inputValue()).toBe('Read before the change.');
    await second.page.unroute(incident);
    await second.page.getByText(/This case has changed since you opened it/).waitFor({ timeout: 30_000 });
    expect(await second.page.getByLabel('Reason (can be left empty)').inputValue()).toBe('Read before the change.');
    await second.leave();
  });

  it('made neither browser complain', () => {
    expect([...wearer.complaints, ...nurse.complaints]).toEqual([]);
  });
});
