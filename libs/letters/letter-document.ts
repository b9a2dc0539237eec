import type { BarrierDrawing } from './barrier-drawing.js';

/** A part of a letter, named for what it is; how it looks is the PDF's business. */
export type Block =
  | { readonly kind: 'heading'; readonly level: 1 | 2; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly tone?: 'strong' | 'quiet' | 'quoted' }
  | {
      readonly kind: 'notice';
      /** `act-now` is the emergency route; `waits` is something that somebody still has to do. */
      readonly urgency: 'act-now' | 'waits';
      readonly heading: string;
      readonly lines: readonly string[];
    }
  | { readonly kind: 'list'; readonly items: readonly string[]; readonly numbered?: boolean }
  /** A table whose first column heads its rows; `columns` is absent where two columns explain themselves. */
  | {
      readonly kind: 'table';
      readonly columns: readonly string[] | null;
      readonly rows: readonly (readonly string[])[];
      /** Shares of the width, one a column. */
      readonly shares: readonly number[];
    }
  /** Short answers, two to a row. */
  | { readonly kind: 'pairs'; readonly pairs: readonly (readonly [string, string])[] }
  /** The drawing under the words that say how to read it. */
  | { readonly kind: 'barrier'; readonly key: string; readonly drawing: BarrierDrawing }
  /** Lines to be filled in by hand, each with what belongs on it. */
  | { readonly kind: 'fill-in'; readonly lines: readonly string[] }
  | { readonly kind: 'tick'; readonly lines: readonly string[] };

export interface LetterDocument {
  readonly title: string;
  readonly language: string;
  readonly paper: 'A4' | 'LETTER';
  /** Shown on every page until the letter is signed. */
  readonly draftMark: string | null;
  /** At the foot of every page: which letter this is. */
  readonly running: string;
  readonly siteName: string;
  /** From the model, never from a clock: the same model gives the same bytes. */
  readonly createdAt: Date;
  readonly contentHash: string;
  readonly blocks: readonly Block[];
}
