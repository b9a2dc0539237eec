import PDFDocument from 'pdfkit';
import { PdfLetterWriter } from '#letters';
import { aReferral } from '../support/referral-letter.js';
import { inTurn, ratios, shown, spreadOf, type Line } from './repetitions.js';

const REPETITIONS = 7;
const LETTERS = 40;

/** A page that says nothing, tagged like a letter. */
function emptyPage(): Promise<number> {
  return new Promise((resolve, reject) => {
    const page = new PDFDocument({
      pdfVersion: '1.7',
      subset: 'PDF/UA' as unknown as 'PDF/A-2b',
      tagged: true,
      lang: 'en-GB',
      displayTitle: true,
      info: { Title: 'Empty' },
    });
    let bytes = 0;
    page.on('data', (chunk: Uint8Array) => (bytes += chunk.length));
    page.on('end', () => resolve(bytes));
    page.on('error', reject);
    page.addStructure(page.struct('Document'));
    page.end();
  });
}

async function milliseconds(write: () => Promise<unknown>): Promise<number> {
  const begun = performance.now();
  for (let letter = 0; letter < LETTERS; letter += 1) await write();
  return (performance.now() - begun) / LETTERS;
}

export async function benchLetters(): Promise<Line[]> {
  const writer = new PdfLetterWriter();
  const referral = aReferral();
  const pages = 5;
  for (let warm = 0; warm < 3; warm += 1) {
    await milliseconds(() => writer.write(referral));
    await milliseconds(emptyPage);
  }
  const { letter, empty } = await inTurn(REPETITIONS, {
    letter: () => milliseconds(() => writer.write(referral)),
    empty: () => milliseconds(emptyPage),
  });
  const perPage = letter.map((value) => value / pages);
  return [
    { what: 'Referral letter, five pages, tagged', figure: 'ms a letter', spread: shown(spreadOf(letter), 2), aim: '' },
    { what: 'Empty tagged page of the PDF library', figure: 'ms a page', spread: shown(spreadOf(empty), 3), aim: '' },
    {
      what: 'Letter to empty page',
      figure: 'times as long',
      spread: shown(ratios(letter, empty), 1),
      aim: '3 or less',
    },
    {
      what: 'The same, for each of the letter’s pages',
      figure: 'times as long',
      spread: shown(ratios(perPage, empty), 1),
      aim: '',
    },
  ];
}
