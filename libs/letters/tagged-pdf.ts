import PDFDocument from 'pdfkit';
import type { DrawnLine, DrawnText } from './barrier-drawing.js';
import { RIGHT_TO_LEFT, type FontFace } from './fonts.js';
import type { Block, LetterDocument } from './letter-document.js';
import { presentable, setText, widthOf, type Line, type Piece, type SetText, type TextStyle } from './type-setting.js';

const MARGIN = { left: 54, right: 54, top: 66, bottom: 62 };
const INK = '#1c2326';
const QUIET_INK = '#4a5459';
const ACCENT = '#0b5a5f';
const WAITS = '#8a5a00';
const ACT_NOW = '#a3201d';
const RULE = '#b9c1c0';
const SHADE = '#eef1ee';

interface Setting extends TextStyle {
  readonly leading: number;
  readonly colour: string;
}

const BODY: Setting = { size: 10, weight: 'regular', leading: 13.2, colour: INK };
const STRONG: Setting = { ...BODY, weight: 'bold' };
const QUIET: Setting = { ...BODY, size: 8.5, leading: 11.5, colour: QUIET_INK };
const CELL: Setting = { ...BODY, size: 9.5, leading: 12 };
const CELL_PADDING = 2.2;
const CELL_GAP = 8;
const ROW_HEIGHT = CELL.leading + 2 * CELL_PADDING;
const HEAD_CELL: Setting = { ...CELL, weight: 'bold' };
const TITLE: Setting = { size: 19, weight: 'bold', leading: 24, colour: INK };
const SECTION: Setting = { size: 11.5, weight: 'bold', leading: 15, colour: ACCENT };
const RUNNING: Setting = { ...QUIET, size: 8 };

const DRAWN_COLOURS: Readonly<Record<DrawnLine['means'], string>> = {
  skin: INK,
  intact: ACCENT,
  partial: ACCENT,
  total: ACCENT,
  unknown: ACCENT,
  leader: RULE,
  'way-in': INK,
};

/** What the PDF library makes of a face: the letter's own glyph codes, and the object that embeds it. Not in its types. */
interface EmbeddedFace {
  readonly id: string;
  ref(): unknown;
  encode(
    text: string,
    features?: unknown,
  ): [
    string[],
    { readonly xAdvance: number; readonly advanceWidth: number; readonly xOffset: number; readonly yOffset: number }[],
  ];
}

/** Structure types of ISO 32000-1, 14.8.4. */
type Tag =
  | 'Document'
  | 'Div'
  | 'H1'
  | 'H2'
  | 'P'
  | 'BlockQuote'
  | 'L'
  | 'LI'
  | 'Lbl'
  | 'LBody'
  | 'Table'
  | 'TR'
  | 'TH'
  | 'TD'
  | 'Figure';

type Element = PDFKit.PDFStructureElement;
type ElementOptions = Parameters<PDFKit.PDFDocument['struct']>[1] & {
  scope?: 'Row' | 'Column';
  placement?: 'Block';
  bbox?: [number, number, number, number];
};

/** Writes a letter as PDF 1.7, tagged to PDF/UA-1, every font embedded. */
export function writeTaggedPdf(letter: LetterDocument): Promise<Uint8Array> {
  return new TaggedPdf(letter).write();
}

class TaggedPdf {
  private readonly doc: PDFKit.PDFDocument;
  private readonly root: Element;
  private readonly faces = new Map<string, EmbeddedFace>();
  /** The fill colour that the page is set to; null when something else may have changed it. */
  private fill: string | null = null;
  private y = MARGIN.top;
  private bookmarks: PDFKit.PDFOutline | undefined;

  constructor(private readonly letter: LetterDocument) {
    this.doc = new PDFDocument({
      size: letter.paper,
      margins: { left: 0, right: 0, top: 0, bottom: 0 },
      bufferPages: true,
      autoFirstPage: false,
      pdfVersion: '1.7',
      subset: 'PDF/UA' as unknown as 'PDF/A-2b',
      tagged: true,
      lang: letter.language,
      displayTitle: true,
      // None of the fonts that every reader is said to have: PDF/UA wants all of them embedded.
      font: null as unknown as string,
      info: {
        Title: letter.title,
        Subject: `${letter.draftMark ?? 'Signed'}. Content ${letter.contentHash}`,
        Creator: 'Innerglove',
        Producer: 'Innerglove',
        CreationDate: letter.createdAt,
      },
    });
    this.root = this.doc.struct('Document');
  }

  async write(): Promise<Uint8Array> {
    const chunks: Uint8Array[] = [];
    this.doc.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    const ended = new Promise<void>((resolve, reject) => {
      this.doc.on('end', resolve);
      this.doc.on('error', reject);
    });
    this.doc.addPage();
    this.doc.addStructure(this.root);
    this.letter.blocks.forEach((block, index) => this.block(block, this.letter.blocks[index + 1]));
    this.root.end();
    this.runningLines();
    this.doc.end();
    await ended;
    return Buffer.concat(chunks);
  }

  private get left(): number {
    return MARGIN.left;
  }

  private get width(): number {
    return this.doc.page.width - MARGIN.left - MARGIN.right;
  }

  private get limit(): number {
    return this.doc.page.height - MARGIN.bottom;
  }

  private get pageRoom(): number {
    return this.limit - MARGIN.top;
  }

  private block(block: Block, next: Block | undefined): void {
    switch (block.kind) {
      case 'heading':
        return this.heading(block, next);
      case 'paragraph':
        return this.paragraph(block);
      case 'notice':
        return this.notice(block);
      case 'list':
        return this.list(block);
      case 'table':
        return this.table(block);
      case 'pairs':
        return this.pairs(block.pairs);
      case 'barrier':
        return this.barrier(block);
      case 'tick':
        return this.ticks(block.lines);
      case 'fill-in':
        return this.fillIns(block.lines);
    }
  }

  private heading(block: Extract<Block, { kind: 'heading' }>, next: Block | undefined): void {
    const setting = block.level === 1 ? TITLE : SECTION;
    const set = setText(block.text, setting, this.width);
    const height = set.lines.length * setting.leading;
    const before = this.y === MARGIN.top ? 0 : block.level === 1 ? 4 : 9;
    this.need(before + height + 4 + this.beginningOf(next));
    if (this.y > MARGIN.top) this.y += before;
    const options = { expanded: true, top: this.y - 6, left: this.doc.page.width };
    if (this.bookmarks) this.bookmarks.addItem(block.text, options);
    else this.bookmarks = this.doc.outline.addItem(block.text, options);
    this.flow(this.element(this.root, block.level === 1 ? 'H1' : 'H2'), set, setting, this.left, this.width);
    this.y += block.level === 1 ? 6 : 3;
  }

  /** How much of the next block must stand under its heading. */
  private beginningOf(block: Block | undefined): number {
    if (!block) return 0;
    if (block.kind === 'barrier') return block.drawing.height;
    if (block.kind === 'fill-in') return block.lines.length * 30;
    if (block.kind === 'table') return Math.min(3, block.rows.length + (block.columns ? 1 : 0)) * ROW_HEIGHT;
    if (block.kind === 'pairs') return Math.min(3, Math.ceil(block.pairs.length / 2)) * ROW_HEIGHT;
    return 2 * BODY.leading;
  }

  private paragraph({ text, tone }: Extract<Block, { kind: 'paragraph' }>): void {
    const setting = tone === 'strong' ? STRONG : tone === 'quiet' ? QUIET : BODY;
    const indent = tone === 'quoted' ? 12 : 0;
    const set = setText(text, setting, this.width - indent, tone === 'quiet' ? 'ltr' : 'auto');
    this.flow(
      this.element(this.root, tone === 'quoted' ? 'BlockQuote' : 'P'),
      set,
      setting,
      this.left + indent,
      this.width - indent,
      indent > 0,
    );
    this.y += 4.5;
  }

  private notice({ urgency, heading, lines }: Extract<Block, { kind: 'notice' }>): void {
    const colour = urgency === 'act-now' ? ACT_NOW : WAITS;
    const inset = 12;
    const parts = [
      { set: setText(heading, STRONG, this.width - 2 * inset), setting: { ...STRONG, colour } },
      ...lines.map((line) => ({ set: setText(line, BODY, this.width - 2 * inset), setting: BODY })),
    ];
    const height = parts.reduce((sum, { set, setting }) => sum + set.lines.length * setting.leading, 0) + 12;
    if (height <= this.pageRoom) {
      this.need(height);
      const top = this.y;
      this.artifact(() => {
        this.doc.lineWidth(0.8).strokeColor(colour).rect(this.left, top, this.width, height).stroke();
        this.doc.fillColor(colour).rect(this.left, top, 4, height).fill();
        this.fill = colour;
      });
    }
    const group = this.element(this.root, 'Div');
    this.y += 6;
    for (const { set, setting } of parts)
      this.flow(this.element(group, 'P'), set, setting, this.left + inset, this.width - 2 * inset);
    group.end();
    this.y += 14;
  }

  private list({ items, numbered }: Extract<Block, { kind: 'list' }>): void {
    const setting = numbered ? CELL : BODY;
    const indent = numbered ? 22 : 13;
    const list = this.element(this.root, 'L');
    items.forEach((text, index) => {
      const label = numbered ? `[${index + 1}]` : '•';
      const set = setText(text, setting, this.width - indent);
      this.need(Math.min(set.lines.length, 2) * setting.leading);
      const item = this.element(list, 'LI');
      const baseline = this.y + setting.size;
      this.content(this.element(item, 'Lbl'), () =>
        this.paint(setText(label, setting, indent).lines[0], this.left + (numbered ? 0 : 2), baseline, setting),
      );
      this.flow(this.element(item, 'LBody'), set, setting, this.left + indent, this.width - indent);
      item.end();
      this.y += 2;
    });
    list.end();
    this.y += 3;
  }

  private table({ columns, rows, shares }: Extract<Block, { kind: 'table' }>): void {
    const total = shares.reduce((sum, share) => sum + share, 0);
    const widths = shares.map((share) => (share / total) * this.width);
    const table = this.element(this.root, 'Table');
    if (columns) {
      const row = this.element(table, 'TR');
      this.row(row, columns, widths, { head: 'all', repeat: null });
      row.end();
    }
    for (const cells of rows) {
      const row = this.element(table, 'TR');
      this.row(row, cells, widths, { head: 'first', repeat: columns });
      row.end();
    }
    table.end();
    this.y += 6;
  }

  private pairs(pairs: readonly (readonly [string, string])[]): void {
    const widths = [0.22, 0.28, 0.22, 0.28].map((share) => share * this.width);
    const table = this.element(this.root, 'Table');
    for (let index = 0; index < pairs.length; index += 2) {
      const row = this.element(table, 'TR');
      this.row(row, [...(pairs[index] ?? []), ...(pairs[index + 1] ?? ['', ''])], widths, {
        head: 'alternate',
        repeat: null,
      });
      row.end();
    }
    table.end();
    this.y += 6;
  }

  /** One row; one that is higher than what is left goes to the next page, one that is higher than a page is split. */
  private row(
    row: Element,
    texts: readonly string[],
    widths: readonly number[],
    { head, repeat }: { readonly head: 'all' | 'first' | 'alternate'; readonly repeat: readonly string[] | null },
  ): void {
    const padding = CELL_PADDING;
    const gap = CELL_GAP;
    let x = this.left;
    const cells = texts.map((text, index) => {
      const isHead = head === 'all' || (head === 'first' ? index === 0 : index % 2 === 0 && text !== '');
      const setting = isHead ? HEAD_CELL : CELL;
      const width = widths[index] ?? 0;
      const set = setText(text, setting, width - gap);
      const scope = head === 'all' ? 'Column' : 'Row';
      const cell = {
        element: isHead ? this.element(row, 'TH', { scope }) : this.element(row, 'TD'),
        x,
        width: width - gap,
        set,
        setting,
        drawn: 0,
      };
      x += width;
      return cell;
    });
    const highest = Math.max(1, ...cells.map(({ set }) => set.lines.length));
    const height = highest * CELL.leading + 2 * padding;
    if (height > this.limit - this.y && this.y > MARGIN.top) {
      // A row of a screenful or more fills what is left of this page first.
      const splits = height > this.pageRoom / 2 && this.limit - this.y > 6 * CELL.leading;
      if (!splits) this.newPage(repeat, widths);
    }
    let remaining = highest;
    while (remaining > 0) {
      const room = Math.floor((this.limit - this.y - 2 * padding) / CELL.leading);
      const lines = Math.min(remaining, Math.max(1, room));
      for (const cell of cells) {
        const from = cell.drawn;
        const part = cell.set.lines.slice(from, from + lines);
        cell.drawn += lines;
        if (part.length === 0 && from > 0) continue;
        const top = this.y + padding;
        this.content(cell.element, () =>
          part.forEach((line, index) =>
            this.paintIn(line, cell.set, cell.x, cell.width, top + index * CELL.leading + CELL.size, cell.setting),
          ),
        );
      }
      this.y += lines * CELL.leading + 2 * padding;
      remaining -= lines;
      if (remaining > 0) this.newPage(repeat, widths);
    }
    for (const { element } of cells) element.end();
    this.rule(this.y, head === 'all' ? 0.9 : 0.4, head === 'all' ? QUIET_INK : RULE);
  }

  private newPage(repeatedHead: readonly string[] | null = null, widths: readonly number[] = []): void {
    this.doc.addPage();
    this.fill = null;
    this.y = MARGIN.top;
    if (!repeatedHead) return;
    const sets = repeatedHead.map((text, index) => setText(text, HEAD_CELL, (widths[index] ?? 0) - CELL_GAP));
    this.artifact(() => {
      let x = this.left;
      sets.forEach(({ lines }, index) => {
        lines.forEach((line, at) =>
          this.paint(line, x, this.y + CELL_PADDING + at * CELL.leading + CELL.size, HEAD_CELL),
        );
        x += widths[index] ?? 0;
      });
    });
    this.y += Math.max(1, ...sets.map(({ lines }) => lines.length)) * CELL.leading + 2 * CELL_PADDING;
    this.rule(this.y, 0.9, QUIET_INK);
  }

  private barrier({ key, drawing }: Extract<Block, { kind: 'barrier' }>): void {
    const set = setText(key, QUIET, this.width);
    this.need(Math.min(set.lines.length * QUIET.leading + drawing.height + 16, this.pageRoom));
    this.flow(this.element(this.root, 'P'), set, QUIET, this.left, this.width);
    this.y += 6;
    this.need(Math.min(drawing.height, this.pageRoom));
    const left = this.left + (this.width - drawing.width) / 2;
    const top = this.y;
    const figure = this.element(this.root, 'Figure', {
      alt: presentable(drawing.alternative),
      placement: 'Block',
      bbox: [left, top, left + drawing.width, top + drawing.height],
    });
    const samples = drawing.labels.flatMap(({ rows }) => rows.flatMap(({ sample }) => (sample ? [sample] : [])));
    this.content(figure, () => {
      this.doc.save().translate(left, top);
      for (const { path, strokeWidth } of drawing.shade) {
        const shape = this.doc.path(path);
        if (strokeWidth === null) shape.fillColor(SHADE).fill();
        else shape.lineWidth(strokeWidth).lineCap('round').lineJoin('round').strokeColor(SHADE).stroke();
      }
      for (const line of [...drawing.lines, ...samples]) this.drawnLine(line);
      this.doc.restore();
      this.fill = null;
      for (const mark of drawing.marks) this.drawnText(mark, left, top);
    });
    const list = this.element(this.root, 'L');
    for (const { heading, rows, reached } of drawing.labels) {
      const item = this.element(list, 'LI');
      this.content(this.element(item, 'Lbl'), () => this.drawnText(heading, left, top));
      this.content(this.element(item, 'LBody'), () => {
        for (const text of [...rows.flatMap(({ lines }) => lines), ...reached]) this.drawnText(text, left, top);
      });
      item.end();
    }
    list.end();
    this.y += drawing.height + 10;
  }

  private drawnLine({ path, means, strokeWidth, dash, dashOffset, roundEnds }: DrawnLine): void {
    this.doc.path(path).lineWidth(strokeWidth).strokeColor(DRAWN_COLOURS[means]);
    this.doc.lineCap(roundEnds ? 'round' : 'butt');
    if (dash.length > 0) this.doc.dash(dash as unknown as number, { phase: dashOffset });
    else this.doc.undash();
    this.doc.stroke();
  }

  private drawnText({ text, x, y, size, weight }: DrawnText, left: number, top: number): void {
    const setting = { ...CELL, size, weight };
    this.paint(setText(text, setting, Infinity).lines[0], left + x, top + y, setting);
  }

  private ticks(lines: readonly string[]): void {
    for (const text of lines) {
      this.need(BODY.leading + 4);
      const top = this.y + 2;
      this.artifact(() =>
        this.doc
          .lineWidth(0.8)
          .strokeColor(INK)
          .rect(this.left + 1, top, 9, 9)
          .stroke(),
      );
      this.flow(
        this.element(this.root, 'P'),
        setText(text, BODY, this.width - 18),
        BODY,
        this.left + 18,
        this.width - 18,
      );
      this.y += 3;
    }
    this.y += 2;
  }

  private fillIns(lines: readonly string[]): void {
    for (const text of lines) {
      this.need(30);
      this.y += 12;
      this.flow(this.element(this.root, 'P'), setText(text, BODY, 180), BODY, this.left, 180);
      this.artifact(() =>
        this.doc
          .lineWidth(0.6)
          .strokeColor(INK)
          .moveTo(this.left + 186, this.y - 2)
          .lineTo(this.left + this.width, this.y - 2)
          .stroke(),
      );
      this.y += 4;
    }
  }

  /** What stands on every page and belongs to none: for the eye only, so marked as artifacts. */
  private runningLines(): void {
    const { start, count } = this.doc.bufferedPageRange();
    const { siteName, draftMark, running } = this.letter;
    for (let page = start; page < start + count; page += 1) {
      this.doc.switchToPage(page);
      this.fill = null;
      const foot = this.doc.page.height - 36;
      this.artifact(() => {
        this.paint(setText(siteName, RUNNING, this.width * 0.6).lines[0], this.left, 40, RUNNING);
        if (draftMark) this.draftMark(draftMark.toUpperCase());
        this.paint(setText(running, RUNNING, this.width).lines[0], this.left, foot, RUNNING);
        const number = `Page ${page - start + 1} of ${count}`;
        this.paint(
          setText(number, RUNNING, 200).lines[0],
          this.left + this.width - widthOf(number, RUNNING),
          foot,
          RUNNING,
        );
      }, 'Pagination');
      this.rule(foot - 13, 0.4, RULE);
    }
  }

  private draftMark(words: string): void {
    const setting: Setting = { ...RUNNING, size: 9.5, weight: 'bold', colour: WAITS };
    const width = widthOf(words, setting);
    const right = this.left + this.width;
    this.doc
      .lineWidth(1)
      .strokeColor(WAITS)
      .rect(right - width - 14, 28, width + 14, 18)
      .stroke();
    this.paint(setText(words, setting, width + 1).lines[0], right - width - 7, 40.5, setting);
  }

  /** Sets lines one below the other, over as many pages as they need, all within one element. */
  private flow(element: Element, set: SetText, setting: Setting, x: number, width: number, barred = false): void {
    let from = 0;
    while (from < set.lines.length) {
      let room = Math.floor((this.limit - this.y) / setting.leading);
      const left = set.lines.length - from;
      // Neither a first nor a last line of a paragraph alone on a page.
      if (room < left && left - room === 1 && room > 2) room -= 1;
      if (room < Math.min(2, left)) {
        this.newPage();
        continue;
      }
      const part = set.lines.slice(from, from + room);
      const top = this.y;
      if (barred)
        this.artifact(() =>
          this.doc
            .lineWidth(1.5)
            .strokeColor(RULE)
            .moveTo(x - 8, top)
            .lineTo(x - 8, top + part.length * setting.leading)
            .stroke(),
        );
      this.content(element, () =>
        part.forEach((line, index) =>
          this.paintIn(line, set, x, width, top + index * setting.leading + setting.size, setting),
        ),
      );
      this.y += part.length * setting.leading;
      from += part.length;
      if (from < set.lines.length) this.newPage();
    }
    element.end();
  }

  private paintIn(line: Line, set: SetText, x: number, width: number, baseline: number, setting: Setting): void {
    this.paint(line, set.rightToLeft ? x + width - line.width : x, baseline, setting);
  }

  /** Writes the text operators itself: the library's own call saves, turns and restores the page around every word. */
  private paint(line: Line | undefined, x: number, baseline: number, setting: Setting): void {
    if (!line || line.pieces.length === 0) return;
    if (this.fill !== setting.colour) {
      this.doc.fillColor(setting.colour);
      this.fill = setting.colour;
    }
    let face: EmbeddedFace | undefined;
    const operators = ['BT'];
    for (const piece of line.pieces) {
      const next = this.embedded(piece.face);
      if (next !== face) operators.push(`/${next.id} ${setting.size} Tf`);
      face = next;
      if (piece.face.sharesGlyphs) operators.push(`/Span <</ActualText <${utf16Hex(piece.written)}>>> BDC`);
      this.glyphs(operators, next, piece, x + piece.x, baseline, setting.size);
      if (piece.face.sharesGlyphs) operators.push('EMC');
    }
    operators.push('ET');
    this.doc.addContent(operators.join('\n'));
  }

  private glyphs(operators: string[], face: EmbeddedFace, piece: Piece, x: number, y: number, size: number): void {
    const [codes, positions] = face.encode(piece.text, piece.rightToLeft ? RIGHT_TO_LEFT : undefined);
    const scale = size / 1000;
    let at = x;
    let shown = '';
    let pending = '';
    // The page's own axis points up and ours down, so the text matrix turns each stretch over.
    let start = `1 0 0 -1 ${rounded(at)} ${rounded(y)} Tm`;
    const flush = () => {
      if (pending) shown += `<${pending}>`;
      if (shown) operators.push(`${start} [${shown}] TJ`);
      shown = '';
      pending = '';
    };
    positions.forEach(({ xAdvance, advanceWidth, xOffset, yOffset }, index) => {
      if (xOffset || yOffset) {
        flush();
        start = `1 0 0 -1 ${rounded(at + xOffset * scale)} ${rounded(y - yOffset * scale)} Tm`;
        pending = codes[index] ?? '';
        flush();
        at += xAdvance * scale;
        start = `1 0 0 -1 ${rounded(at)} ${rounded(y)} Tm`;
        return;
      }
      pending += codes[index] ?? '';
      const kern = xAdvance - advanceWidth;
      if (kern !== 0) {
        shown += `<${pending}>${rounded(-kern)}`;
        pending = '';
      }
      at += xAdvance * scale;
    });
    flush();
  }

  private embedded({ name, font }: FontFace): EmbeddedFace {
    let face = this.faces.get(name);
    if (!face) {
      this.doc.registerFont(name, font as unknown as PDFKit.Mixins.PDFFontSource).font(name);
      face = (this.doc as unknown as { _font: EmbeddedFace })._font;
      this.faces.set(name, face);
    }
    (this.doc.page as unknown as { fonts: Record<string, unknown> }).fonts[face.id] ??= face.ref();
    return face;
  }

  private need(height: number): void {
    if (this.y + height > this.limit && this.y > MARGIN.top) this.newPage();
  }

  /** Written in one go: a letter has more rules than anything else that is drawn. */
  private rule(y: number, width: number, colour: string): void {
    this.doc.addContent(
      `/Artifact <</Type /Layout>> BDC q ${strokeOperator(colour)} ${width} w [] 0 d 0 J ` +
        `${rounded(this.left)} ${rounded(y)} m ${rounded(this.left + this.width)} ${rounded(y)} l S Q EMC`,
    );
  }

  private element(parent: Element, tag: Tag, options: ElementOptions = {}): Element {
    const element = this.doc.struct(tag, options);
    parent.add(element);
    return element;
  }

  private content(element: Element, draw: () => void): void {
    element.add(draw);
  }

  private artifact(draw: () => void, type: 'Layout' | 'Pagination' = 'Layout'): void {
    this.doc.markContent('Artifact', { type });
    this.doc.undash().lineCap('butt');
    draw();
    this.doc.endMarkedContent();
  }
}

/** `#rrggbb` as the operator that sets the stroke. */
function strokeOperator(colour: string): string {
  const channels = [1, 3, 5].map((at) => rounded(parseInt(colour.slice(at, at + 2), 16) / 255));
  return `${channels.join(' ')} RG`;
}

function rounded(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

/** A PDF text string: UTF-16, high byte first, with its mark. */
function utf16Hex(text: string): string {
  let hex = 'feff';
  for (let index = 0; index < text.length; index += 1) hex += text.charCodeAt(index).toString(16).padStart(4, '0');
  return hex;
}
