import { createRequire } from 'node:module';
import path from 'node:path';
import PDFDocument from 'pdfkit';
import { artifact, numberPages, writeAcross } from './page-marks';
import { type Doc, INK, MARGIN, RULE, type Struct, WIDTH } from './sheet-of-paper';

export { type Doc, INK, MARGIN, QUIET, RULE, type Struct, WIDTH } from './sheet-of-paper';

/** The sheet of paper being written on: where the text stands, and the tree that screen readers follow. */
export interface Paper {
  readonly doc: Doc;
  readonly tree: Struct;
  /** 1 as usual; less draws pictures, gaps and small print smaller, to keep a few last lines off a page of their own. */
  readonly density: number;
}

export interface Painted {
  readonly bytes: Buffer;
  readonly pages: number;
  /** Share of the last page that is written on, from 0 to 1. */
  readonly lastFilled: number;
}

export interface PaperOptions {
  readonly title: string;
  readonly author: string;
  readonly at: Date;
  /** Stands across every page, e.g. 'Draft, not signed'. */
  readonly across: string | null;
  readonly density?: number;
}

/** Full TrueType fonts with their licence in the package: the marks ≥, µ, ² and → are all in them. */
function fontFile(name: string): string {
  const folder = path.dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json'));
  return path.join(folder, 'ttf', `${name}.ttf`);
}

/**
 * A tagged A4 document. Times inside come from `at`, so that one machine gives the same bytes; across machines bytes
 * may differ, which is why a signed one is painted once and kept.
 */
export function paintOnPaper(options: PaperOptions, paint: (paper: Paper) => void): Promise<Painted> {
  const { title, author, at, across } = options;
  const doc = new PDFDocument({
    size: 'A4',
    margins: { top: MARGIN.top, bottom: MARGIN.bottom, left: MARGIN.side, right: MARGIN.side },
    pdfVersion: '1.7',
    tagged: true,
    lang: 'en-GB',
    displayTitle: true,
    bufferPages: true,
    autoFirstPage: false,
    font: fontFile('DejaVuSansCondensed'),
    info: {
      Title: title,
      Author: author,
      Creator: 'Chordae',
      Producer: 'Chordae',
      CreationDate: at,
      ModDate: at,
    },
  });
  doc.registerFont('plain', fontFile('DejaVuSansCondensed'));
  doc.registerFont('strong', fontFile('DejaVuSansCondensed-Bold'));
  doc.registerFont('serif', fontFile('DejaVuSerifCondensed'));
  const chunks: Buffer[] = [];
  let [pages, lastFilled] = [1, 0];
  const done = new Promise<Painted>((resolve, reject) => {
    doc.on('data', (c: Buffer) => chunks.push(c));
    doc.on('end', () => resolve({ bytes: Buffer.concat(chunks), pages, lastFilled }));
    doc.on('error', reject);
  });
  if (across) doc.on('pageAdded', () => writeAcross(doc, across));
  doc.addPage();
  const tree = doc.struct('Document', { title, lang: 'en-GB' });
  doc.addStructure(tree);
  paint({ doc, tree, density: options.density ?? 1 });
  tree.end();
  pages = doc.bufferedPageRange().count;
  lastFilled = (doc.y - MARGIN.top) / (doc.page.height - MARGIN.top - MARGIN.bottom);
  numberPages(doc, title, across);
  doc.end();
  return done;
}

/** Room left on this page in points. */
export function room(doc: Doc): number {
  return doc.page.height - MARGIN.bottom - doc.y;
}

/** Nothing is written on this page yet: what divides two rows has nothing to divide. */
export function atTop(doc: Doc): boolean {
  return doc.y < MARGIN.top + 4;
}

/** Starts a page when less than `points` are left. */
export function need(doc: Doc, points: number): void {
  if (room(doc) < points) doc.addPage();
}

export function rule(doc: Doc, options: { gap?: number; width?: number; colour?: string } = {}): void {
  const { gap = 6, width = 0.6, colour = RULE } = options;
  const y = doc.y + gap / 2;
  artifact(doc, 'Layout', () =>
    doc
      .moveTo(MARGIN.side, y)
      .lineTo(MARGIN.side + WIDTH, y)
      .lineWidth(width)
      .strokeColor(colour)
      .stroke(),
  );
  doc.y = y + gap;
}

export interface TextStyle {
  readonly size?: number;
  readonly font?: 'plain' | 'strong' | 'serif';
  readonly colour?: string;
  readonly gap?: number;
  readonly lineGap?: number;
  readonly x?: number;
  readonly width?: number;
  readonly align?: 'left' | 'right';
}

/** Height that words will take, in points. */
export function heightOf(doc: Doc, words: string, style: TextStyle): number {
  doc.font(style.font ?? 'plain').fontSize(style.size ?? 9);
  return doc.heightOfString(words, { width: style.width ?? WIDTH, lineGap: style.lineGap ?? 1.6 });
}

/** Writes words as one element of the tree, from where the text stands; flows on to further pages by itself. */
export function write(paper: Paper, parent: Struct, tag: string, words: string, style: TextStyle = {}): void {
  const { doc } = paper;
  parent.add(
    doc.struct(tag, {}, () => {
      doc
        .font(style.font ?? 'plain')
        .fontSize(style.size ?? 9)
        .fillColor(style.colour ?? INK);
      doc.text(words, style.x ?? MARGIN.side, doc.y, {
        width: style.width ?? WIDTH,
        lineGap: style.lineGap ?? 1.6,
        align: style.align ?? 'left',
      });
    }),
  );
  doc.x = MARGIN.side;
  doc.y += (style.gap ?? 3) * paper.density;
}

/** Page that is being written, to tell whether a text has flowed on to the next. */
export function pageNumber(doc: Doc): number {
  const { start, count } = doc.bufferedPageRange();
  return start + count;
}
