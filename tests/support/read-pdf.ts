import { getDocument, VerbosityLevel } from 'pdfjs-dist/legacy/build/pdf.mjs';
// @ts-expect-error: this file of the package has no types.
import * as worker from 'pdfjs-dist/legacy/build/pdf.worker.mjs';

// Reads in this thread: a test has no second one to wait for.
(globalThis as { pdfjsWorker?: unknown }).pdfjsWorker = worker;

/** A node of the structure tree: its type, what stands for it, and its children or the text that it marks. */
export interface StructureNode {
  readonly tag: string;
  readonly alt: string | null;
  readonly children: readonly (StructureNode | string)[];
}

export interface ReadPdf {
  readonly language: string | null;
  readonly title: string | null;
  readonly version: string | null;
  readonly marked: boolean;
  readonly fingerprint: string;
  readonly pages: readonly { readonly width: number; readonly height: number; readonly text: string }[];
  /** In the order of the page's content, artifacts left out. */
  readonly text: string;
  readonly artifacts: readonly string[];
  /** Text that is neither part of the structure nor an artifact. */
  readonly untagged: readonly string[];
  /** One tree a page. */
  readonly structure: readonly StructureNode[];
  readonly bookmarks: readonly string[];
}

interface TextItem {
  readonly str: string;
  readonly hasEOL: boolean;
}
interface MarkedItem {
  readonly type: 'beginMarkedContent' | 'beginMarkedContentProps' | 'endMarkedContent';
  readonly id?: string;
  readonly tag?: string;
}
interface RawNode {
  readonly role?: string;
  readonly alt?: string;
  readonly type?: string;
  readonly id?: string;
  readonly children?: readonly RawNode[];
}
interface Outline {
  readonly title: string;
  readonly items: readonly Outline[];
}

/** Parses a PDF with a reader that had no part in writing it. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const task = getDocument({ data: new Uint8Array(bytes), verbosity: VerbosityLevel.ERRORS, useSystemFonts: false });
  const document = await task.promise;
  const { info, metadata } = (await document.getMetadata()) as unknown as {
    info: Record<string, string>;
    metadata: { get(name: string): string } | null;
  };
  const pages: { width: number; height: number; text: string }[] = [];
  const structure: StructureNode[] = [];
  const artifacts: string[] = [];
  const untagged: string[] = [];
  let text = '';
  for (let number = 1; number <= document.numPages; number += 1) {
    const page = await document.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const { items } = await page.getTextContent({ includeMarkedContent: true });
    const byId = new Map<string, string>();
    const open: { id: string | null; tag: string }[] = [];
    let pageText = '';
    for (const item of items as unknown as (TextItem | MarkedItem)[]) {
      if ('str' in item) {
        const said = item.str + (item.hasEOL ? '\n' : '');
        pageText += said;
        const owner = open.findLast(({ id }) => id !== null)?.id;
        if (open.some(({ tag }) => tag === 'Artifact')) artifacts.push(item.str);
        else if (owner) {
          byId.set(owner, (byId.get(owner) ?? '') + said);
          text += said;
        } else if (item.str.trim()) untagged.push(item.str);
      } else if (item.type === 'endMarkedContent') open.pop();
      else open.push({ id: item.id ?? null, tag: item.tag ?? '' });
    }
    text += '\n';
    pages.push({ width, height, text: pageText });
    const tree = (await page.getStructTree()) as unknown as RawNode | null;
    if (tree) structure.push(nodeOf(tree, byId));
  }
  const bookmarks = ((await document.getOutline()) ?? []) as unknown as Outline[];
  const read = {
    language: info.Language ?? null,
    title: metadata?.get('dc:title') ?? null,
    version: info.PDFFormatVersion ?? null,
    marked: ((await document.getMarkInfo()) as { Marked?: boolean } | null)?.Marked === true,
    fingerprint: document.fingerprints[0] ?? '',
    pages,
    text,
    artifacts,
    untagged,
    structure,
    bookmarks: titlesOf(bookmarks),
  };
  await task.destroy();
  return read;
}

function nodeOf(raw: RawNode, byId: ReadonlyMap<string, string>): StructureNode {
  return {
    tag: raw.role ?? '',
    alt: raw.alt ?? null,
    children: (raw.children ?? []).map((child) =>
      child.type === 'content' ? (byId.get(child.id ?? '') ?? '') : nodeOf(child, byId),
    ),
  };
}

function titlesOf(outline: readonly Outline[]): string[] {
  return outline.flatMap(({ title, items }) => [title, ...titlesOf(items)]);
}

/** Every node of a tree with that tag, in reading order. */
export function nodesWith(tag: string, trees: readonly StructureNode[]): StructureNode[] {
  return trees.flatMap((node) => [
    ...(node.tag === tag ? [node] : []),
    ...nodesWith(
      tag,
      node.children.filter((child) => typeof child !== 'string'),
    ),
  ]);
}

/** The text under a node. */
export function textOf(node: StructureNode): string {
  return node.children.map((child) => (typeof child === 'string' ? child : textOf(child))).join('');
}
