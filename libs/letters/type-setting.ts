import * as bidiModule from 'bidi-js';
import type { Bidi } from 'bidi-js';
import { faceFor, primaryFace, type FontFace, type Weight } from './fonts.js';

// The package ships CommonJS whose types describe its other build; the factory is the default either way.
const bidi = (bidiModule as unknown as { default: () => Bidi }).default();
const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** A stretch of one line in one face and one direction, with its place from the line's left edge. */
export interface Piece {
  readonly face: FontFace;
  /** As handed to the face, brackets of a right-to-left piece turned; in logical order. */
  readonly text: string;
  /** As it was written. */
  readonly written: string;
  readonly rightToLeft: boolean;
  readonly x: number;
  readonly width: number;
}

export interface Line {
  /** In the order in which they are read, which is not always that of their places. */
  readonly pieces: readonly Piece[];
  readonly width: number;
}

export interface SetText {
  readonly lines: readonly Line[];
  /** The direction that the text itself begins in. */
  readonly rightToLeft: boolean;
}

export interface TextStyle {
  readonly size: number;
  readonly weight: Weight;
}

/** An atom of line layout: part of a word, or the blank after it. */
interface Atom {
  readonly face: FontFace;
  readonly text: string;
  readonly written: string;
  readonly level: number;
  readonly width: number;
  readonly blank: boolean;
}

/** Atoms between two places where a line may end. */
type Word = readonly Atom[];

/** Zero-width characters that shape or order their neighbours; they are never drawn on their own. */
const JOINERS = /^(?:\u200c|\u200d|\p{Variation_Selector})$/u;
const MARKS = /^[\u200e\u200f\u061c\u2066\u2069]$/u;
const CODE_POINT = /\[U\+[0-9A-F]{4,6}\]/gu;
const DROPPED = /[\u00ad\u200b\u2060\ufeff]/gu;
/**
 * Control characters, direction overrides and isolates, and what Unicode keeps unassigned for ever. A name must not be able
 * to turn the words around it, so they are written out.
 */
const WRITTEN_OUT = /(?!\n)[\p{Cc}\u202a-\u202e\u2066-\u2069\p{Noncharacter_Code_Point}]/gu;
const ALL_PLAIN = /^[\u0020-\u007e\u00a0-\u00ac\u00ae-\u00ff\u2013\u2014\u2018\u2019\u201c\u201d\u2022\u2026]*$/;
const RIGHT_TO_LEFT_LETTER = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\u{10800}-\u{10fff}\u{1e800}-\u{1eeff}]/u;

/** A character that cannot be shown, as its code point: visible, and searchable by whoever must find out what it was. */
export function codePointWords(character: string): string {
  return `[U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`;
}

/** The text as it can be set: well formed, composed, without hidden characters that would act on their surroundings. */
export function presentable(text: string): string {
  return text
    .toWellFormed()
    .normalize('NFC')
    .replaceAll('\r\n', '\n')
    .replace(/[\r\u2028\u2029\u0085]/gu, '\n')
    .replaceAll('\t', ' ')
    .replace(DROPPED, '')
    .replace(WRITTEN_OUT, codePointWords);
}

/** Width in points of a text on one line. */
export function widthOf(text: string, style: TextStyle): number {
  return setText(text, style, Infinity).lines.reduce((widest, line) => Math.max(widest, line.width), 0);
}

/**
 * Breaks a text into lines no wider than `width` points. Sentences of the letter run from left to right whatever names stand
 * in them; somebody's own words, `auto`, run as they begin.
 */
export function setText(text: string, style: TextStyle, width: number, direction: 'ltr' | 'auto' = 'ltr'): SetText {
  const lines: Line[] = [];
  let rightToLeft: boolean | null = null;
  for (const paragraph of presentable(text).split('\n')) {
    const { words, level } = wordsOf(paragraph, style, direction);
    if (rightToLeft === null && paragraph.trim()) rightToLeft = level % 2 === 1;
    for (const line of fill(words, style, width)) lines.push(place(line, level));
  }
  return { lines, rightToLeft: rightToLeft ?? false };
}

function wordsOf(paragraph: string, style: TextStyle, direction: 'ltr' | 'auto'): { words: Word[]; level: number } {
  if (ALL_PLAIN.test(paragraph)) return { words: plainWords(paragraph, style), level: 0 };
  // A code point stands on its own in text of either direction. No other isolate can be here: they are written out.
  const shown = substituteMissing(paragraph, style.weight).replace(CODE_POINT, '\u2066$&\u2069');
  const directed = RIGHT_TO_LEFT_LETTER.test(shown) ? bidi.getEmbeddingLevels(shown, direction) : null;
  const words: Word[] = [];
  let word: Atom[] = [];
  for (const { text, level, face, blank } of stretchesOf(shown, directed?.levels ?? null, style.weight)) {
    const mirrored =
      level % 2 === 1 ? [...text].map((character) => bidi.getMirroredCharacter(character) ?? character).join('') : text;
    word.push({
      face,
      text: mirrored,
      written: text,
      level,
      blank,
      width: face.width(mirrored, level % 2 === 1) * style.size,
    });
    if (blank || /[-/\]]$/u.test(text)) {
      words.push(word);
      word = [];
    }
  }
  if (word.length > 0) words.push(word);
  return { words, level: directed?.paragraphs[0]?.level ?? 0 };
}

/** Most text by far: the letters of the primary face, from left to right. */
function plainWords(paragraph: string, style: TextStyle): Word[] {
  const face = primaryFace(style.weight);
  const blankWidth = face.width(' ') * style.size;
  return (paragraph.match(/[^ ]*?(?:[-/](?=[^ ])|(?= )|$) */gu) ?? [])
    .filter((part) => part !== '')
    .map((part) => {
      const solid = part.trimEnd();
      const blanks = part.length - solid.length;
      const atoms: Atom[] = [];
      if (solid)
        atoms.push({
          face,
          text: solid,
          written: solid,
          level: 0,
          blank: false,
          width: face.width(solid) * style.size,
        });
      if (blanks) {
        const blank = ' '.repeat(blanks);
        atoms.push({ face, text: blank, written: blank, level: 0, blank: true, width: blankWidth * blanks });
      }
      return atoms;
    });
}

/** Replaces every character that no face has by its code point. */
function substituteMissing(text: string, weight: Weight): string {
  let shown = '';
  for (const { segment } of graphemes.segment(text)) {
    const base = segment.codePointAt(0) ?? 0;
    if (MARKS.test(segment) || faceFor(base, weight)) {
      shown += [...segment]
        .map((character) =>
          JOINERS.test(character) || MARKS.test(character) || faceFor(character.codePointAt(0) ?? 0, weight)
            ? character
            : codePointWords(character),
        )
        .join('');
    } else {
      shown += [...segment].map((character) => (JOINERS.test(character) ? '' : codePointWords(character))).join('');
    }
  }
  return shown;
}

interface Stretch {
  text: string;
  face: FontFace;
  level: number;
  blank: boolean;
}

/** Cuts a text where face, direction, or word and blank change; joiners and marks stay with the face before them. */
function stretchesOf(text: string, levels: Uint8Array | null, weight: Weight): Stretch[] {
  const stretches: Stretch[] = [];
  let index = 0;
  for (const character of text) {
    const level = levels?.[index] ?? 0;
    index += character.length;
    if (MARKS.test(character)) continue;
    const current = stretches.at(-1);
    const blank = character === ' ';
    if (JOINERS.test(character)) {
      if (current && !current.blank && current.face.covers(character.codePointAt(0) ?? 0)) current.text += character;
      continue;
    }
    const codePoint = character.codePointAt(0) ?? 0;
    const stays =
      current &&
      current.level === level &&
      current.blank === blank &&
      (current.face.covers(codePoint) || blank) &&
      !/[-/\]]$/u.test(current.text);
    if (stays) {
      current.text += character;
      continue;
    }
    const face = (blank ? null : faceFor(codePoint, weight)) ?? primaryFace(weight);
    stretches.push({ text: character, face, level, blank });
  }
  return stretches;
}

function fill(words: readonly Word[], style: TextStyle, width: number): Atom[][] {
  const lines: Atom[][] = [];
  let line: Atom[] = [];
  let filled = 0;
  const end = () => {
    lines.push(line);
    line = [];
    filled = 0;
  };
  for (const word of words) {
    const solid = word.reduce((sum, atom) => sum + (atom.blank ? 0 : atom.width), 0);
    const whole = word.reduce((sum, atom) => sum + atom.width, 0);
    if (filled > 0 && filled + solid > width) end();
    if (solid <= width) {
      line.push(...word);
      filled += whole;
      continue;
    }
    for (const part of word.flatMap((atom) => cut(atom, style, width))) {
      if (filled > 0 && filled + part.width > width) end();
      line.push(part);
      filled += part.width;
    }
  }
  end();
  return lines;
}

/** A word that is wider than a whole line, cut between what a reader sees as characters. */
function cut(atom: Atom, style: TextStyle, width: number): Atom[] {
  const rightToLeft = atom.level % 2 === 1;
  const measured = (text: string) => ({
    ...atom,
    text,
    written: text,
    width: atom.face.width(text, rightToLeft) * style.size,
  });
  const parts: Atom[] = [];
  let text = '';
  let filled = 0;
  for (const { segment } of graphemes.segment(atom.text)) {
    const add = atom.face.width(segment, rightToLeft) * style.size;
    if (text && filled + add > width * 0.98) {
      parts.push(measured(text));
      text = '';
      filled = 0;
    }
    text += segment;
    filled += add;
  }
  if (text) parts.push(measured(text));
  return parts;
}

/** Drops the blanks at the line's end, finds every atom's place, and joins what can be drawn in one go. */
function place(atoms: readonly Atom[], paragraphLevel: number): Line {
  let end = atoms.length;
  while (end > 0 && atoms[end - 1]?.blank) end -= 1;
  const kept = atoms.slice(0, end);
  const places = new Map<Atom, number>();
  let width = 0;
  for (const atom of visualOrder(kept, paragraphLevel)) {
    places.set(atom, width);
    width += atom.width;
  }
  const pieces: Piece[] = [];
  for (const atom of kept) {
    const rightToLeft = atom.level % 2 === 1;
    const x = places.get(atom) ?? 0;
    const last = pieces.at(-1);
    const follows =
      last && !last.rightToLeft && !rightToLeft && last.face === atom.face && Math.abs(last.x + last.width - x) < 0.001;
    if (follows)
      pieces[pieces.length - 1] = {
        ...last,
        text: last.text + atom.text,
        written: last.written + atom.written,
        width: last.width + atom.width,
      };
    else pieces.push({ face: atom.face, text: atom.text, written: atom.written, rightToLeft, x, width: atom.width });
  }
  return { pieces, width };
}

/** Rule L2 of the Unicode bidirectional algorithm, over atoms. */
function visualOrder(atoms: readonly Atom[], paragraphLevel: number): readonly Atom[] {
  const highest = atoms.reduce((level, atom) => Math.max(level, atom.level), paragraphLevel);
  if (highest === 0) return atoms;
  const ordered = [...atoms];
  for (let level = highest; level >= 1; level -= 1) {
    for (let start = 0; start < ordered.length; start += 1) {
      if ((ordered[start]?.level ?? 0) < level) continue;
      let end = start;
      while (end + 1 < ordered.length && (ordered[end + 1]?.level ?? 0) >= level) end += 1;
      ordered.splice(start, end - start + 1, ...ordered.slice(start, end + 1).reverse());
      start = end;
    }
  }
  return ordered;
}
