import { describe, expect, it } from '@jest/globals';
import type { ReferralLetter } from '#application';
import { aReferral, exampleEnsemble } from '../../tests/support/referral-letter.js';
import { nodesWith, readPdf, textOf } from '../../tests/support/read-pdf.js';
import { PdfLetterWriter } from './pdf-letter-writer.js';

const writer = new PdfLetterWriter();
const read = async (letter: ReferralLetter) => readPdf(await writer.write(letter));
const flat = (text: string) => text.replace(/\s+/g, ' ').trim();
const signature = { name: 'Ruth Amado, occupational health nurse', at: '2026-11-24T10:00:00Z' };
/** The dictionaries of a PDF lie open; only its streams are packed. */
const raw = (bytes: Uint8Array) => Buffer.from(bytes).toString('latin1');

describe('the content hash of a letter', () => {
  it('is SHA-256 in hexadecimal and does not depend on the order of fields', () => {
    const letter = aReferral();
    const reversed = Object.fromEntries(Object.entries(letter).reverse()) as unknown as ReferralLetter;
    expect(writer.contentHash(letter)).toMatch(/^[0-9a-f]{64}$/);
    expect(writer.contentHash(reversed)).toBe(writer.contentHash(letter));
  });

  it('is the same before and after signing, and another for any other change', () => {
    const letter = aReferral();
    expect(writer.contentHash({ ...letter, signature })).toBe(writer.contentHash(letter));
    expect(writer.contentHash({ ...letter, account: 'Something else.' })).not.toBe(writer.contentHash(letter));
    expect(writer.contentHash({ ...letter, revision: 4 })).not.toBe(writer.contentHash(letter));
  });
});

describe('a referral as PDF', () => {
  it('is the same bytes for the same model, whenever it is written', async () => {
    const first = await writer.write(aReferral());
    await new Promise((resolve) => setTimeout(resolve, 1100));
    expect(Buffer.from(await writer.write(aReferral())).equals(Buffer.from(first))).toBe(true);
  });

  it('is the same bytes whatever other letters were written in between', async () => {
    const letter = aReferral({ account: 'A\u00a0space, نصف, ½ and ﬁ.' });
    const first = await writer.write(letter);
    await writer.write(aReferral({ account: '\u0870 \u0675 fi \u00bd 1\u20442 x' }));
    expect(Buffer.from(await writer.write(letter)).equals(Buffer.from(first))).toBe(true);
  });

  it('has another document id for another content', async () => {
    const one = await read(aReferral());
    const other = await read(aReferral({ question: 'Another question?' }));
    expect(one.fingerprint).not.toBe(other.fingerprint);
  });

  it('says its language, title and version, and that it is tagged', async () => {
    const pdf = await read(aReferral());
    expect(pdf).toMatchObject({
      language: 'en-GB',
      title: 'Referral to occupational health',
      version: '1.7',
      marked: true,
    });
    const bytes = raw(await writer.write(aReferral()));
    expect(bytes).toContain('/DisplayDocTitle true');
    expect(bytes).toMatch(/<pdfuaid:part>1<\/pdfuaid:part>/);
  });

  it('puts every text under the structure or marks it as an artifact', async () => {
    const pdf = await read(aReferral());
    expect(pdf.untagged).toEqual([]);
    expect(flat(pdf.artifacts.join(' '))).toContain('Page 1 of');
  });

  it('reads in the order in which a clinician needs it', async () => {
    const { text } = await read(aReferral());
    const order = [
      'Referral to occupational health',
      'If the wearer is unwell now',
      'Draft, not signed',
      'The question put to you',
      'In short',
      'Who',
      'What happened',
      'The account, as it was told',
      'The barrier that was left',
      'Assessment by the published table',
      'What is not known, and what it could change',
      'Determination',
      'Follow-up plan',
      'First aid done',
      'Advice given with the report',
      'What this letter does not hold',
      'Cautions',
      'Sources',
      'Signature',
      'This letter',
    ].map((heading) => text.indexOf(`\n${heading}`) + (text.startsWith(heading) ? 1 : 0));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order.every((at) => at >= 0)).toBe(true);
  });

  it('has one first heading, second headings below it, and a bookmark for each', async () => {
    const pdf = await read(aReferral());
    const headings = ['H1', 'H2'].flatMap((tag) => nodesWith(tag, pdf.structure).map((node) => flat(textOf(node))));
    expect(nodesWith('H1', pdf.structure)).toHaveLength(1);
    expect(pdf.bookmarks).toEqual(headings);
  });

  it('says whose column or row a header cell heads', async () => {
    const bytes = raw(await writer.write(aReferral()));
    const headers = bytes.match(/\/S \/TH\b[\s\S]*?endobj/g) ?? [];
    expect(headers.length).toBeGreaterThan(30);
    for (const header of headers) expect(header).toMatch(/\/Scope \/(Row|Column)/);
    expect(headers.some((header) => header.includes('/Scope /Column'))).toBe(true);
  });

  it('keeps rows of a table under the table, and items of a list under the list', async () => {
    const { structure } = await read(aReferral());
    for (const table of nodesWith('Table', structure))
      for (const row of table.children) expect(row).toMatchObject({ tag: 'TR' });
    for (const row of nodesWith('TR', structure))
      for (const cell of row.children) expect(cell).toMatchObject({ tag: expect.stringMatching(/^T[HD]$/) });
    for (const list of nodesWith('L', structure))
      for (const item of list.children) expect(item).toMatchObject({ tag: 'LI' });
  });

  it('gives the barrier drawing an alternative and lists its words after it', async () => {
    const { structure } = await read(aReferral());
    const [figure] = nodesWith('Figure', structure);
    expect(figure?.alt).toContain(
      'Breached: Fluid-repellent gown, partial breach; Inner nitrile gloves, total breach.',
    );
    expect(figure?.alt).toContain('Reached: hands.');
    const words = nodesWith('L', structure).map((node) => flat(textOf(node)));
    expect(words.some((text) => text.includes('Hands Outer nitrile gloves: already off'))).toBe(true);
  });

  it('embeds every font that it uses', async () => {
    const bytes = raw(await writer.write(aReferral({ account: 'Ελένη נועה ليلى 😷 Олена' })));
    const fonts = bytes.match(/\/Type \/FontDescriptor[\s\S]*?endobj/g) ?? [];
    expect(fonts.length).toBeGreaterThanOrEqual(6);
    for (const font of fonts) expect(font).toMatch(/\/FontFile2 /);
    expect(bytes).not.toMatch(/\/BaseFont \/(Helvetica|Times|Courier)/);
  });

  it('carries a draft mark on every page until it is signed, and then on none', async () => {
    const draft = await read(aReferral());
    for (const { text } of draft.pages) expect(text).toContain('DRAFT, NOT SIGNED');
    const signed = await read(aReferral({ signature }));
    for (const { text } of signed.pages) expect(text).not.toMatch(/draft, not signed/i);
    expect(flat(signed.text)).toContain('Signed by Ruth Amado, occupational health nurse');
  });

  it('numbers its pages and says on each which letter and content it is', async () => {
    const letter = aReferral();
    const pdf = await read(letter);
    pdf.pages.forEach(({ text }, index) => {
      expect(text).toContain(`Page ${index + 1} of ${pdf.pages.length}`);
      expect(text).toContain(
        `Letter ${letter.letterId}, revision 3, content ${writer.contentHash(letter).slice(0, 16)}`,
      );
    });
    expect(pdf.text).toContain(writer.contentHash(letter));
  });

  it.each([
    ['A4', 595.28, 841.89],
    ['LETTER', 612, 792],
  ] as const)('comes on %s paper', async (paper, width, height) => {
    const { pages } = await read(aReferral({ paper }));
    for (const page of pages) {
      expect(page.width).toBeCloseTo(width, 1);
      expect(page.height).toBeCloseTo(height, 1);
    }
  });
});

describe('letters that are hard to set', () => {
  const name =
    'Wilhelmina-Alexandra Featherstonehaugh-Cholmondeley van der Woestijne-Konstantinopolitanopoulou '.repeat(4);

  it.each<[string, Partial<ReferralLetter>, readonly string[]]>([
    ['a very long name', { wearer: { ...aReferral().wearer, name } }, ['Featherstonehaugh-Cholmondeley']],
    ['a name without a blank', { wearer: { ...aReferral().wearer, name: 'x'.repeat(5000) } }, ['xxxxx']],
    ['a Hebrew name', { wearer: { ...aReferral().wearer, name: 'נועה בת־שבע לוי' } }, ['נועה']],
    ['an Arabic name', { buddy: 'ليلى الخطيب' }, []],
    ['emoji', { account: 'Torn 🧤, wet 💧 and 👩🏽‍⚕️ said stop 😷' }, ['Torn', 'said stop']],
    [
      'marks that look like PDF',
      { account: '(unbalanced \\ %PDF-1.7 endobj >> stream' },
      ['(unbalanced \\ %PDF-1.7 endobj >> stream'],
    ],
    [
      'control characters and overrides',
      { account: 'a\u0000b \u202Etfel\u202C \ud800 end' },
      ['a[U+0000]b', '[U+202E]tfel'],
    ],
    ['markup', { siteName: '<b>&amp;</b>', unitName: '</rdf:li>' }, ['<b>&amp;</b>', '</rdf:li>']],
    [
      'everything empty',
      {
        siteName: '',
        unitName: '',
        occupationalHealth: { telephone: '', email: '' },
        emergency: { words: '', telephone: '' },
        wearer: { name: '', staffNumber: '', job: '', telephone: null },
        buddy: '',
        account: '',
        agentName: '',
        question: '',
        adviceGiven: [],
        ensemble: { ...exampleEnsemble, layers: [], sources: [], name: '' },
        barrier: { ...aReferral().barrier, zones: [], reasons: [] },
      },
      ['not given', 'No question was written'],
    ],
  ])('survives %s', async (_what, changes, expected) => {
    const pdf = await read(aReferral(changes));
    expect(pdf.untagged).toEqual([]);
    expect(pdf.marked).toBe(true);
    for (const words of expected) expect(flat(pdf.text).replaceAll(' ', '')).toContain(words.replaceAll(' ', ''));
  });

  it('carries an account of five pages in full and in order', async () => {
    const sentences = Array.from(
      { length: 420 },
      (_, index) => `Sentence ${index + 1} of the account tells what came next.`,
    );
    const account = Array.from({ length: 42 }, (_, paragraph) =>
      sentences.slice(paragraph * 10, paragraph * 10 + 10).join(' '),
    );
    const pdf = await read(aReferral({ account: account.join('\n') }));
    expect(pdf.pages.length).toBeGreaterThanOrEqual(9);
    expect(flat(pdf.text).includes(flat(account.join(' ')))).toBe(true);
    expect(pdf.untagged).toEqual([]);
    const quotes = nodesWith('BlockQuote', pdf.structure);
    expect(quotes.length).toBeGreaterThanOrEqual(42);
  });

  it('splits a table cell that is higher than a page', async () => {
    const reason = Array.from({ length: 900 }, (_, index) => `reason${index}`).join(' ');
    const letter = aReferral();
    const pdf = await read({ ...letter, determination: letter.determination && { ...letter.determination, reason } });
    expect(flat(pdf.text).includes(reason)).toBe(true);
  });
});
