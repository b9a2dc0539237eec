import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';
import { create, type Font, type Glyph, type GlyphPosition, type GlyphRun } from 'fontkit';

export type Weight = 'regular' | 'bold';

/** Asks a face's `layout` to shape from right to left; passed through the PDF library as its OpenType features. */
export const RIGHT_TO_LEFT = ['innerglove-right-to-left'];

/**
 * One embedded font file. The PDF library takes it in place of a parsed font, so that a file is parsed once a process
 * and not once a letter.
 */
export interface FontFace {
  readonly name: string;
  readonly font: Font;
  /** Several letters share a glyph, so the glyphs alone do not tell what was written. */
  readonly sharesGlyphs: boolean;
  covers(codePoint: number): boolean;
  /** Width in em of a text that this face covers. */
  width(text: string, rightToLeft?: boolean): number;
}

interface FaceFile {
  readonly package: string;
  readonly subset: string;
  readonly ranges: readonly (readonly [number, number])[];
  /** Scripts whose letters change their form by their neighbours need the full shaper. */
  readonly shaped: boolean;
  readonly weights: readonly Weight[];
}

const require = createRequire(import.meta.url);

/**
 * A font file as the web packs it (WOFF 1.0: every table deflated on its own) turned into the plain form. Read packed,
 * a table would be inflated anew for every glyph.
 */
export function unpackWoff(woff: Buffer): Buffer {
  if (woff.toString('latin1', 0, 4) !== 'wOFF') throw new Error('Not a WOFF 1.0 font file');
  const count = woff.readUInt16BE(12);
  const tables = Array.from({ length: count }, (_, index) => {
    const entry = 44 + index * 20;
    const offset = woff.readUInt32BE(entry + 4);
    const packedLength = woff.readUInt32BE(entry + 8);
    const length = woff.readUInt32BE(entry + 12);
    const packed = woff.subarray(offset, offset + packedLength);
    return {
      tag: woff.subarray(entry, entry + 4),
      checksum: woff.readUInt32BE(entry + 16),
      data: packedLength < length ? inflateSync(packed) : packed,
    };
  });
  const directory = 12 + 16 * count;
  const plain = Buffer.alloc(tables.reduce((size, { data }) => size + padded(data.length), directory));
  const log = Math.floor(Math.log2(count));
  woff.copy(plain, 0, 4, 8);
  plain.writeUInt16BE(count, 4);
  plain.writeUInt16BE(2 ** log * 16, 6);
  plain.writeUInt16BE(log, 8);
  plain.writeUInt16BE((count - 2 ** log) * 16, 10);
  let at = directory;
  tables.forEach(({ tag, checksum, data }, index) => {
    const entry = 12 + 16 * index;
    tag.copy(plain, entry);
    plain.writeUInt32BE(checksum, entry + 4);
    plain.writeUInt32BE(at, entry + 8);
    plain.writeUInt32BE(data.length, entry + 12);
    data.copy(plain, at);
    at += padded(data.length);
  });
  return plain;
}

function padded(length: number): number {
  return (length + 3) & ~3;
}

/** What fontkit gives and the PDF library reads; `advanceWidth` is set by the latter. */
type Positioned = GlyphPosition & { advanceWidth?: number };

/** Letters that are set one beside the other, with kerning only; combining marks and the rest go to the full shaper. */
const PLAIN_LETTERS =
  /^[\u0020-\u007e\u00a0-\u00ac\u00ae-\u024f\u0370-\u0482\u048a-\u052f\u2010-\u2027\u2030-\u205e\u20a0-\u20bf]*$/;

function faceOf(name: string, file: Buffer, shaped: boolean): FontFace {
  const parsed = create(unpackWoff(file)) as Font;
  const covered = new Set(parsed.characterSet);

  /** Each character its own glyph object: fontkit remembers for a shared glyph the character that came first. */
  const glyphs = new Map<string, Glyph>();
  const glyphOf = (character: string): Glyph => {
    let glyph = glyphs.get(character);
    if (!glyph) {
      const codePoint = character.codePointAt(0) ?? 0;
      glyph = Object.create(parsed.glyphForCodePoint(codePoint), { codePoints: { value: [codePoint] } }) as Glyph;
      glyphs.set(character, glyph);
    }
    return glyph;
  };

  /**
   * Kerning of Latin, Greek and Cyrillic hangs on neighbouring pairs alone, so pairs are remembered and words are not: a
   * memory of words would keep names after their letter is gone.
   */
  const kerning = new Map<string, number>();
  const kern = (left: string, right: string): number => {
    const pair = left + right;
    let between = kerning.get(pair);
    if (between === undefined) {
      const run = parsed.layout(pair);
      const [first] = run.positions;
      const [glyph] = run.glyphs;
      between = run.glyphs.length === 2 && first && glyph ? first.xAdvance - glyph.advanceWidth : 0;
      kerning.set(pair, between);
    }
    return between;
  };

  const besideEachOther = (text: string, kerned: boolean): GlyphRun => {
    const characters = [...text];
    let advanceWidth = 0;
    const positions = characters.map((character, index): Positioned => {
      const next = characters[index + 1];
      const xAdvance = glyphOf(character).advanceWidth + (kerned && next ? kern(character, next) : 0);
      advanceWidth += xAdvance;
      return { xAdvance, yAdvance: 0, xOffset: 0, yOffset: 0 };
    });
    return { glyphs: characters.map(glyphOf), positions, advanceWidth } as unknown as GlyphRun;
  };

  const shape = (text: string, direction: 'rtl' | undefined): GlyphRun => {
    // Without its memory of glyphs: a glyph that two letters share would join as the letter that came first in the process.
    (parsed as unknown as { _glyphs: Record<number, Glyph> })._glyphs = {};
    try {
      return parsed.layout(text, [], undefined, undefined, direction);
    } catch {
      // The shaper fails on some rare letters; unjoined letters can still be read, a letter that is not written cannot.
      return besideEachOther(direction === 'rtl' ? [...text].reverse().join('') : text, false);
    }
  };

  const layout = (text: string, features?: unknown): GlyphRun => {
    if (features === RIGHT_TO_LEFT) return shape(text, 'rtl');
    if (shaped || !PLAIN_LETTERS.test(text)) return shape(text, undefined);
    return besideEachOther(text, true);
  };

  // A view of the parsed font: own name, since the subsets of one family call themselves alike, and own layout.
  const font = Object.create(parsed, {
    postscriptName: { value: name },
    layout: { value: layout },
  }) as Font;
  return {
    name,
    font,
    sharesGlyphs: /-(arabic|devanagari)-/.test(name),
    covers: (codePoint) => covered.has(codePoint),
    width: (text, rightToLeft = false) =>
      layout(text, rightToLeft ? RIGHT_TO_LEFT : undefined).advanceWidth / parsed.unitsPerEm,
  };
}

/** `U+600-6FF,U+200C` as pairs of first and last. */
function rangesOf(text: string): [number, number][] {
  return text.split(',').map((part) => {
    const [first = '', last = first] = part.trim().slice(2).split('-');
    return [parseInt(first, 16), parseInt(last, 16)];
  });
}

function filesOf(
  packageName: string,
  shaped: boolean,
  weights: readonly Weight[],
  subsets?: readonly string[],
): FaceFile[] {
  const ranges = JSON.parse(readFileSync(require.resolve(`${packageName}/unicode.json`), 'utf8')) as Record<
    string,
    string
  >;
  return Object.entries(ranges)
    .map(([subset, text]) => ({
      package: packageName,
      subset: subset.replace(/^\[(\d+)\]$/, '$1'),
      ranges: rangesOf(text),
      shaped: shaped || subset === 'devanagari',
      weights,
    }))
    .filter(({ subset }) => !subsets || subsets.includes(subset));
}

const BOTH: readonly Weight[] = ['regular', 'bold'];

/** In the order in which they are asked. What none of them has is written as its code point, never dropped. */
const FACE_FILES: readonly FaceFile[] = [
  ...filesOf('@fontsource/atkinson-hyperlegible', false, BOTH),
  ...filesOf('@fontsource/noto-sans', false, BOTH),
  ...filesOf('@fontsource/noto-sans-hebrew', true, BOTH, ['hebrew']),
  ...filesOf('@fontsource/noto-sans-arabic', true, BOTH, ['arabic']),
  ...filesOf('@fontsource/noto-emoji', true, ['regular']),
].sort((a, b) => Number(b.subset === 'latin') - Number(a.subset === 'latin'));

const opened = new Map<string, FontFace>();

function open(file: FaceFile, weight: Weight): FontFace {
  const used = file.weights.includes(weight) ? weight : 'regular';
  const family = file.package.slice('@fontsource/'.length);
  const name = `${family}-${file.subset}-${used}`;
  let face = opened.get(name);
  if (!face) {
    const path = `${file.package}/files/${family}-${file.subset}-${used === 'bold' ? 700 : 400}-normal.woff`;
    face = faceOf(name, readFileSync(require.resolve(path)), file.shaped);
    opened.set(name, face);
  }
  return face;
}

/** The face that all of a letter's own words are set in. */
export function primaryFace(weight: Weight): FontFace {
  const [latin] = FACE_FILES;
  if (!latin) throw new Error('No font files');
  return open(latin, weight);
}

/** The first face that has the character, or null. Files are opened when a letter first needs them. */
export function faceFor(codePoint: number, weight: Weight): FontFace | null {
  for (const file of FACE_FILES) {
    if (!file.ranges.some(([first, last]) => codePoint >= first && codePoint <= last)) continue;
    const face = open(file, weight);
    if (face.covers(codePoint)) return face;
  }
  return null;
}
