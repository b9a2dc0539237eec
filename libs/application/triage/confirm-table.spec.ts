import { describe, expect, it } from '@jest/globals';
import { ListTables } from '../rulebook/list-tables.js';
import { ReadTable } from '../rulebook/read-table.js';
import { ReportIncident } from '../reporting/report-incident.js';
import { SiteKnowledge } from '../reporting/site-knowledge.js';
import {
  ADMINISTRATOR,
  aHospital,
  aReport,
  INFECTION_CONTROL,
  MANAGER,
  NURSE,
  refusalOf,
  theRulebook,
  WEARER,
} from '../testing/hospital.fixture.js';
import { ConfirmTable } from './confirm-table.js';

const REF = 'vhf-cdc-2023';
const remembered = () => theRulebook().needsConfirmation(REF);

function anUnconfirmedHospital() {
  const hospital = aHospital();
  hospital.stored.confirmations = [];
  return hospital;
}

describe('confirming a table', () => {
  it('lets it govern at this site from the next report on', async () => {
    const hospital = anUnconfirmedHospital();
    const sites = new SiteKnowledge();
    const report = new ReportIncident(hospital, theRulebook(), sites);
    const before = await report.execute(aReport(), WEARER);
    expect(before.body.assessment?.table).toBe('unidentified-vhf');
    expect(before.body.governing).toContain('not confirmed at this site');

    await new ConfirmTable(hospital, theRulebook(), sites).execute({ ref: REF, rules: remembered() }, NURSE);
    const after = await report.execute(aReport(), WEARER);
    expect(after.body.assessment?.table).toBe(REF);
  });

  it('keeps the name of the account, the edition and the moment', async () => {
    const hospital = anUnconfirmedHospital();
    const { table, hash } = theRulebook().table(REF);
    const confirmation = await new ConfirmTable(hospital, theRulebook(), new SiteKnowledge()).execute(
      { ref: REF, rules: remembered() },
      NURSE,
    );

    expect(confirmation).toEqual({
      subject: table.id,
      version: table.version,
      hash,
      confirmedBy: NURSE.accountId,
      confirmedByName: 'Nell Okonjo-Vale',
      at: hospital.now,
    });
    expect(hospital.stored.confirmations).toEqual([confirmation]);
    expect(hospital.stored.ledger.at(-1)?.action).toBe('table.confirmed');
  });

  it('is refused when a remembered rule was not looked up, or another one is named', async () => {
    const hospital = anUnconfirmedHospital();
    const confirm = (rules: readonly string[]) => () =>
      new ConfirmTable(hospital, theRulebook(), new SiteKnowledge()).execute({ ref: REF, rules }, NURSE);

    expect(await refusalOf(confirm([]))).toMatchObject({
      code: 'unacceptable-answer',
      pointer: '/rules',
      accepted: `all of: ${remembered().join(', ')}`,
    });
    expect(await refusalOf(confirm([...remembered(), 'V99']))).toMatchObject({
      pointer: `/rules/${remembered().length}`,
    });
    expect(hospital.stored.confirmations).toEqual([]);
  });

  it('is refused where nothing waits, and where there is no such table', async () => {
    const confirm = (ref: string) => () =>
      new ConfirmTable(anUnconfirmedHospital(), theRulebook(), new SiteKnowledge()).execute({ ref, rules: [] }, NURSE);

    expect(await refusalOf(confirm('unidentified-vhf'))).toMatchObject({ code: 'conflict' });
    const absent = await refusalOf(confirm('no-such-table'));
    expect(absent.code).toBe('not-found');
    expect(absent.accepted).toContain('vhf-cdc-2023');
  });

  it.each([
    ['a wearer', WEARER],
    ['infection control', INFECTION_CONTROL],
    ['an administrator', ADMINISTRATOR],
  ])('is forbidden to %s', async (_, actor) => {
    const confirm = new ConfirmTable(anUnconfirmedHospital(), theRulebook(), new SiteKnowledge());

    expect(await refusalOf(() => confirm.execute({ ref: REF, rules: remembered() }, actor))).toMatchObject({
      code: 'forbidden',
    });
  });
});

describe('the tables', () => {
  it('are listed with what they rest on, and whether they may govern here', async () => {
    const hospital = anUnconfirmedHospital();
    const cards = await new ListTables(hospital, theRulebook()).execute(INFECTION_CONTROL);
    const card = cards.find(({ id }) => id === REF);

    expect(cards).toHaveLength(theRulebook().tables().length);
    expect(card).toMatchObject({ weakestGrade: 'remembered', live: false, confirmed: null });
    expect(card?.needsConfirmation).toEqual(remembered());
    // Its one remembered statement is an adjustment, which a result rests on as much as on a rule.
    expect(cards.find(({ id }) => id === 'sars-cov-2-cdc-2020')?.weakestGrade).toBe('remembered');
    expect(card?.governs.map(({ agent }) => agent)).toContain('ebola');
    expect(cards.find(({ id }) => id === 'unidentified-vhf')).toMatchObject({ live: true, needsConfirmation: [] });
  });

  it('say who confirmed them', async () => {
    const cards = await new ListTables(aHospital(), theRulebook()).execute(WEARER);

    expect(cards.find(({ id }) => id === REF)).toMatchObject({
      live: true,
      confirmed: { by: 'Nell Okonjo-Vale', at: '2026-09-01T08:00:00Z' },
    });
  });

  it('govern other agents where the site has its own rules', async () => {
    const hospital = aHospital();
    const { site } = hospital.stored;
    const governing = [{ agent: 'ebola', certainty: 'any', table: 'vhf-uk-acdp', profile: 'ebola/ukhsa' }] as const;
    hospital.stored.site = { ...site, settings: { ...site.settings, governing } };
    const cards = await new ListTables(hospital, theRulebook()).execute(NURSE);
    const governs = (id: string) => cards.find((card) => card.id === id)?.governs.map(({ agent }) => agent);

    expect(governs('vhf-uk-acdp')).toEqual(['ebola']);
    expect(governs(REF)).not.toContain('ebola');
    expect(governs(REF)).toContain('marburg');
  });

  it('are read one by one with every rule, source and question', async () => {
    const view = await new ReadTable(aHospital(), theRulebook()).execute({ ref: `${REF}@1` }, WEARER);

    expect(view.table.rules).toHaveLength(view.rules);
    for (const { sources } of view.table.rules) expect(sources.length).toBeGreaterThan(0);
    expect(Object.keys(view.questions)).toEqual(view.table.inputs.map(({ fact }) => fact));
  });

  it('that do not exist are not found, and a manager reads none', async () => {
    const read = new ReadTable(aHospital(), theRulebook());

    expect(await refusalOf(() => read.execute({ ref: `${REF}@99` }, NURSE))).toMatchObject({ code: 'not-found' });
    expect(await refusalOf(() => read.execute({ ref: REF }, MANAGER))).toMatchObject({ code: 'forbidden' });
    expect(await refusalOf(async () => new ListTables(aHospital(), theRulebook()).execute(MANAGER))).toMatchObject({
      code: 'forbidden',
    });
  });
});
