import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { faceFor, RIGHT_TO_LEFT } from './fonts.js';
import { setText, widthOf, type SetText } from './type-setting.js';

const style = { size: 10, weight: 'regular' } as const;
const said = ({ lines }: SetText) => lines.map(({ pieces }) => pieces.map(({ text }) => text).join('')).join('\n');
const fromTheLeft = ({ lines }: SetText) =>
  lines
    .flatMap(({ pieces }) => [...pieces].sort((a, b) => a.x - b.x).map(({ text }) => text))
    .filter((text) => text !== ' ');
const faces = ({ lines }: SetText) => [...new Set(lines.flatMap(({ pieces }) => pieces.map(({ face }) => face.name)))];

describe('setting text in lines', () => {
  it('breaks between words and never wider than asked', () => {
    const set = setText('The inner glove tore at the thumb after the outer gloves were off', style, 120);
    expect(set.lines.length).toBeGreaterThan(2);
    for (const { width } of set.lines) expect(width).toBeLessThanOrEqual(120);
    expect(said(set).replaceAll('\n', ' ')).toBe('The inner glove tore at the thumb after the outer gloves were off');
  });

  it('keeps the lines that the writer broke', () => {
    expect(said(setText('one\r\ntwo\u2028three', style, 400))).toBe('one\ntwo\nthree');
  });

  it('cuts a word that is wider than a whole line', () => {
    const set = setText('x'.repeat(400), style, 100);
    for (const { width } of set.lines) expect(width).toBeLessThanOrEqual(100);
    expect(said(set).replaceAll('\n', '')).toBe('x'.repeat(400));
  });

  it('measures kerning pairs', () => {
    expect(widthOf('AV', style)).toBeLessThan(widthOf('A', style) + widthOf('V', style));
  });

  it('loses no letter of any text that it can break', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 60 }), fc.integer({ min: 80, max: 300 }), (text, width) => {
        const letters = text.normalize('NFC').replace(/[^\p{L}\p{N}]/gu, '');
        const set = said(setText(text, style, width));
        for (const letter of new Set(letters)) {
          const shown = faceFor(letter.codePointAt(0) ?? 0, 'regular')
            ? letter
            : (letter.codePointAt(0) ?? 0).toString(16).toUpperCase();
          expect(set.replaceAll('\n', '')).toContain(shown);
        }
      }),
      { numRuns: 300 },
    );
  });
});

describe('scripts beyond Latin', () => {
  it.each([
    ['Polish', 'Zażółć gęślą jaźń', 'atkinson-hyperlegible-latin-ext-regular'],
    ['Greek', 'Ελένη Παπαδοπούλου', 'noto-sans-greek-regular'],
    ['Cyrillic', 'Олена Шевченко', 'noto-sans-cyrillic-regular'],
    ['Vietnamese', 'Nguyễn Thị Hạnh', 'noto-sans-vietnamese-regular'],
    ['Devanagari', 'प्रिया शर्मा', 'noto-sans-devanagari-regular'],
    ['Hebrew', 'נועה לוי', 'noto-sans-hebrew-hebrew-regular'],
    ['Arabic', 'ليلى الخطيب', 'noto-sans-arabic-arabic-regular'],
  ])('sets %s in an embedded face that has it', (_script, text, face) => {
    const set = setText(text, style, 400);
    expect(faces(set)).toContain(face);
    expect(said(set)).not.toContain('[U+');
  });

  it('orders a right-to-left name from right to left, and says so', () => {
    const set = setText('נועה לוי', style, 400, 'auto');
    expect(set.rightToLeft).toBe(true);
    expect(fromTheLeft(set)).toEqual(['לוי', 'נועה']);
    expect(set.lines[0]?.pieces.map(({ written }) => written)).toEqual(['נועה', ' ', 'לוי']);
  });

  it('keeps a number inside a right-to-left text in its own order', () => {
    expect(fromTheLeft(setText('חדר 417', style, 400, 'auto'))).toEqual(['417', 'חדר']);
  });

  it('places a right-to-left name inside a left-to-right sentence without turning the sentence', () => {
    const set = setText('Seen by נועה לוי at the door', style, 400, 'auto');
    expect(set.rightToLeft).toBe(false);
    expect(fromTheLeft(set)).toEqual(['Seen by ', 'לוי', 'נועה', ' at the door']);
  });

  it('keeps the order of a sentence that begins with a right-to-left name', () => {
    const set = setText('נועה לוי, staff number W-1', style, 400);
    expect(set.rightToLeft).toBe(false);
    expect(fromTheLeft(set)).toEqual(['לוי', 'נועה', ', staff number W-1']);
  });

  it('turns brackets inside right-to-left text', () => {
    expect(fromTheLeft(setText('נועה (לוי)', style, 400, 'auto'))).toEqual(['(', 'לוי', ')', 'נועה']);
  });

  it('joins Arabic letters', () => {
    const face = faceFor(0x644, 'regular');
    const glyphsOf = (text: string) => face?.font.layout(text, RIGHT_TO_LEFT).glyphs.map(({ id }) => id) ?? [];
    const word = 'سلام';
    expect(glyphsOf(word)).not.toEqual([...word].reverse().flatMap(glyphsOf));
  });

  it('joins letters alike whatever was set before', () => {
    const face = faceFor(0x644, 'regular');
    const glyphsOf = (text: string) => face?.font.layout(text, RIGHT_TO_LEFT).glyphs.map(({ id }) => id) ?? [];
    const before = glyphsOf('سلام');
    // These share glyphs with alef and heh, and join otherwise.
    for (const letter of ['\u0870', '\u0675', '\u06d5']) glyphsOf(letter);
    expect(glyphsOf('سلام')).toEqual(before);
  });

  it('still shows a letter that the shaper fails on', () => {
    expect(said(setText('\u06a2\u06a3', style, 400))).toBe('\u06a2\u06a3');
  });

  it('draws emoji in a face of their own', () => {
    const set = setText('glove torn 😷🧤', style, 400);
    expect(faces(set).some((name) => name.startsWith('noto-emoji'))).toBe(true);
    expect(said(set)).toContain('😷🧤');
  });

  it('writes a character that no face has as its code point, so that nothing is lost unseen', () => {
    expect(said(setText('李明', style, 400))).toBe('[U+674E][U+660E]');
  });
});

describe('text that would act on its surroundings', () => {
  it('writes out direction overrides instead of obeying them', () => {
    expect(said(setText('Ann \u202Egnihton\u202C', style, 400))).toBe('Ann [U+202E]gnihton[U+202C]');
  });

  it('writes out control characters', () => {
    expect(said(setText('a\u0000b\u001bc', style, 400))).toBe('a[U+0000]b[U+001B]c');
  });

  it('replaces half of a broken character', () => {
    expect(said(setText('a\ud83db', style, 400))).toMatch(/^a(�|\[U\+FFFD\])b$/u);
  });

  it('survives any string', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 40 }), (text) => {
        for (const { width } of setText(text, style, 120).lines) expect(Number.isFinite(width)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});
