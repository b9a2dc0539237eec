import { describe, expect, it } from '@jest/globals';
import type { ReferralLetter } from '#application';
import { aReferral } from '../../tests/support/referral-letter.js';
import type { Block } from './letter-document.js';
import { referralDocument } from './referral.js';
import * as words from './words.js';

const HASH = 'c0ffee'.padEnd(64, '0');
const documentOf = (letter: ReferralLetter) => referralDocument(letter, HASH);

/** All that a block says; a drawing's lines of words are joined, since they are broken to a column. */
function saidBy(block: Block): string {
  switch (block.kind) {
    case 'heading':
    case 'paragraph':
      return block.text;
    case 'notice':
      return [block.heading, ...block.lines].join('\n');
    case 'list':
      return block.items.join('\n');
    case 'table':
      return [...(block.columns ?? []), ...block.rows.flat()].join('\n');
    case 'pairs':
      return block.pairs.flat().join('\n');
    case 'barrier':
      return block.drawing.labels
        .flatMap(({ heading, rows, reached }) => [
          heading.text,
          ...rows.map(({ lines }) => lines.map(({ text }) => text).join(' ')),
          ...reached.map(({ text }) => text),
        ])
        .join('\n');
    case 'tick':
    case 'fill-in':
      return block.lines.join('\n');
  }
}
const said = (letter: ReferralLetter) => documentOf(letter).blocks.map(saidBy).join('\n');
const section = (letter: ReferralLetter, heading: string) => {
  const { blocks } = documentOf(letter);
  const start = blocks.findIndex((block) => block.kind === 'heading' && block.text === heading);
  expect(start).toBeGreaterThanOrEqual(0);
  const length = blocks.slice(start + 1).findIndex((block) => block.kind === 'heading');
  return blocks
    .slice(start + 1, length < 0 ? undefined : start + 1 + length)
    .map(saidBy)
    .join('\n');
};

/** Codes that a letter says in words; everything else in the model must stand in the letter as it is. */
const CODED: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  kind: words.KIND_WORDS,
  stage: words.STAGE_WORDS,
  extent: words.EXTENT_WORDS,
  manner: words.MANNER_WORDS,
  task: words.TASK_WORDS,
  fluid: words.FLUID_WORDS,
  certainty: words.CERTAINTY_WORDS,
  anyoneElse: words.TERNARY_WORDS,
  grade: words.GRADE_WORDS,
  windowGrade: words.GRADE_WORDS,
  action: words.FIRST_AID_WORDS,
};

describe('a referral in words', () => {
  it('says every value of its model', () => {
    const letter = aReferral();
    const text = said(letter);
    const missing: string[] = [];
    const look = (value: unknown, path: readonly string[]): void => {
      const name = path.at(-1) ?? '';
      if (typeof value === 'string') {
        const coded = CODED[name]?.[value];
        if (!text.includes(coded ?? value)) missing.push(`${path.join('.')}=${value}`);
      } else if (Array.isArray(value)) value.forEach((item, index) => look(item, [...path, String(index)]));
      else if (value && typeof value === 'object')
        for (const [key, item] of Object.entries(value)) look(item, [...path, key]);
    };
    const {
      content,
      ensemble,
      barrier,
      assessment,
      plan,
      factWords: _factWords,
      paper: _paper,
      account,
      ...rest
    } = letter;
    // Instants and dates are said as clock times, ids of layers and steps by their names: looked at below.
    const { reportedAt: _reportedAt, determination, ...plain } = rest;
    look(plain, []);
    look({ ...determination, at: null }, ['determination']);
    for (const paragraph of (account ?? '').split('\n')) look(paragraph, ['account']);
    const { kind, stage, task, fluid, certainty, anyoneElse } = content;
    look({ kind, stage, task, fluid, certainty, anyoneElse }, ['content']);
    look(
      content.breaches.map(({ extent, manner }) => ({ extent, manner })),
      ['content', 'breaches'],
    );
    look(
      content.firstAid.map(({ action }) => ({ action })),
      ['content', 'firstAid'],
    );
    look(
      content.lapses.map((lapse) => words.LAPSE_WORDS[lapse]),
      ['content', 'lapses'],
    );
    look(
      ensemble.layers.map(({ name }) => name),
      ['ensemble', 'layers'],
    );
    look([ensemble.id, ensemble.version, ensemble.name, ensemble.sources], ['ensemble']);
    look(barrier.reasons, ['barrier', 'reasons']);
    for (const { zone, layers } of barrier.zones) {
      look(words.ZONE_WORDS[zone], ['barrier', 'zone']);
      for (const { layer, state } of layers) {
        const name = ensemble.layers.find(({ id }) => id === layer)?.name ?? layer;
        look(`${name}: ${words.LAYER_STATE_WORDS[state]}`, ['barrier', zone, layer]);
      }
    }
    const { category, categoryId, table, version, hash, reachable, cautions, sources, grade, rule, explanation } =
      assessment;
    look({ category, categoryId, table, version, hash, reachable, cautions, sources, grade, rule }, ['assessment']);
    look(
      [explanation.words, explanation.row, explanation.adjustments, explanation.nearestChange?.category],
      ['explanation'],
    );
    look(
      assessment.actions.map(({ words: action, grade: rests, sources: cited }) => ({
        action: null,
        words: action,
        grade: rests,
        cited,
      })),
      ['actions'],
    );
    look([plan?.timeZone, plan?.restrictions, plan?.windowSource], ['plan']);
    look({ windowGrade: plan?.windowGrade }, ['plan']);
    expect(missing).toEqual([]);
  });

  it('opens with the emergency route and then the question', () => {
    const [title, emergency] = documentOf(aReferral()).blocks;
    expect(title).toMatchObject({ kind: 'heading', level: 1 });
    expect(emergency).toMatchObject({ kind: 'notice', urgency: 'act-now' });
    expect(emergency && saidBy(emergency)).toContain('01632 960 999');
    expect(section(aReferral(), 'The question put to you')).toContain('whether prophylaxis should be offered');
  });

  it('says when, with zone and offset, in the summer too', () => {
    const summer = aReferral();
    const letter = {
      ...summer,
      content: {
        ...summer.content,
        occurred: { from: '2026-07-01T22:30:00Z', until: '2026-07-01T22:30:00Z', timeZone: 'Europe/London' },
      },
    };
    expect(section(letter, 'What happened')).toContain('1 July 2026, 23:30 Europe/London (UTC+01:00)');
  });

  it('says an interval by both ends', () => {
    expect(section(aReferral(), 'What happened')).toContain(
      'between 24 November 2026, 03:05 Europe/London (UTC+00:00) and 24 November 2026, 03:12 Europe/London (UTC+00:00)',
    );
  });

  it('names the removal step in the words that the buddy read', () => {
    expect(section(aReferral(), 'What happened')).toContain('Break the apron’s ties and roll it away from you');
  });

  it('says the level as text and what it is for', () => {
    expect(section(aReferral(), 'Assessment by the published table')).toContain('Level 3 of 3 (high)');
  });

  it('gives no level to what the authority did not classify', () => {
    const letter = aReferral();
    const unclassified = {
      ...letter,
      assessment: { ...letter.assessment, level: null, category: 'not classified by this authority' },
    };
    const text = section(unclassified, 'Assessment by the published table');
    expect(text).toContain('No level');
    expect(text).not.toMatch(/Level \d/);
  });

  it('says what an unsettled assessment still allows, and what each answer would leave', () => {
    expect(said(aReferral())).toContain('interim, the worst that is still possible');
    const open = section(aReferral(), 'What is not known, and what it could change');
    expect(open).toContain('Was the skin there broken? (this answer alone settles it)');
    expect(open).toContain('no: “High-risk exposure” or “No identified risk”');
  });

  it('names the few answers that differ and calls the many the others', () => {
    const letter = aReferral();
    const leaves = { care: ['High'], laboratory: ['Low'], household: ['Low'], aircraft: ['Low'] };
    const question = { fact: 'activity', values: Object.keys(leaves), settlesAlone: false, leaves };
    const asked = { ...letter, assessment: { ...letter.assessment, openQuestions: [question] } };
    const text = section(asked, 'What is not known, and what it could change');
    expect(text).toContain('care: “High”\nany other answer: “Low”');
  });

  it('asks and answers in the rulebook’s words, and by the code where it has none', () => {
    const text = section(aReferral(), 'Facts that were used');
    expect(text).toContain('Did fluid reach intact skin?');
    expect(text).toContain('a body fluid');
    expect(text).toContain('Certainty');
    expect(section(aReferral(), 'Further answers')).toContain('Aerosol procedure');
  });

  it('cites each source once and refers to it by number', () => {
    const sources = section(aReferral(), 'Sources').split('\n');
    expect(new Set(sources).size).toBe(sources.length);
    expect(section(aReferral(), 'What the authority asks for')).toContain(
      `(second-hand, read in a reprint or a summary) [${sources.findIndex((source) => source.startsWith('An authority')) + 1}, ${sources.findIndex((source) => source.startsWith('A regional')) + 1}]`,
    );
  });

  it('reads what was not answered as not known, never as no', () => {
    const letter = aReferral();
    const bare: ReferralLetter = {
      ...letter,
      buddy: null,
      account: null,
      determination: null,
      plan: null,
      adviceGiven: [],
      wearer: { name: '', staffNumber: 'W-1', job: '', telephone: null },
      content: {
        ...letter.content,
        leftAreaAt: null,
        step: null,
        breaches: [],
        lapses: [],
        foundWhole: [],
        task: 'not-known',
        fluid: 'unknown',
        firstAid: [],
        anyoneElse: 'unknown',
        facts: { contactMinutes: null },
        seen: {
          skinWet: 'unknown',
          skinCut: 'unknown',
          zones: [],
          eyeSplash: 'unknown',
          mouthNoseSplash: 'unknown',
          sharpsInjury: 'unknown',
          brokenSkinBefore: 'unknown',
        },
      },
    };
    const seen = section(bare, 'What was seen on the body');
    expect(seen).not.toMatch(/^no$/mu);
    expect(seen.match(/^not known$/gmu)).toHaveLength(7);
    expect(section(bare, 'First aid done')).toContain('Not known');
    expect(section(bare, 'The account, as it was told')).toContain('No account was given');
    expect(section(bare, 'What happened')).toContain('all others count as not known');
    expect(section(bare, 'Determination')).toContain('has not decided yet');
    expect(section(bare, 'Follow-up plan')).toContain('No plan is running');
    expect(section(bare, 'Who')).toContain('not given');
    expect(section(bare, 'Further answers')).toContain('not known');
  });

  it('takes a breach of unknown extent as total', () => {
    const letter = aReferral();
    const content = { ...letter.content, breaches: [{ layer: 'gown', extent: 'unknown', manner: 'unknown' } as const] };
    expect(section({ ...letter, content }, 'Layers that failed')).toContain('not known, taken as total');
  });

  it('always defers to local occupational health and keeps the table’s own cautions', () => {
    const text = section(aReferral(), 'Cautions');
    expect(text).toContain('The authority revised its page in 2024');
    expect(text).toContain('Local occupational health policy');
  });

  it('is a draft until it is signed', () => {
    const draft = documentOf(aReferral());
    expect(draft.draftMark).toBe('Draft, not signed');
    expect(section(aReferral(), 'Signature')).toContain('Draft, not signed');
    const signed = aReferral({ signature: { name: 'Ruth Amado', at: '2026-11-24T10:00:00Z' } });
    expect(documentOf(signed).draftMark).toBeNull();
    expect(said(signed)).not.toContain('Draft');
    expect(section(signed, 'Signature')).toContain('Ruth Amado');
    expect(section(signed, 'Signature')).toContain('24 November 2026, 10:00 Europe/London (UTC+00:00)');
  });

  it('dates itself from the model alone', () => {
    expect(documentOf(aReferral()).createdAt.toISOString()).toBe('2026-11-24T08:55:00.000Z');
    expect(documentOf(aReferral({ determination: null })).createdAt.toISOString()).toBe('2026-11-24T03:31:00.000Z');
  });
});
