import { createRequire } from 'node:module';
import path from 'node:path';
import type { Block } from '@chordae/report';
import PDFDocument from 'pdfkit';
import { paintLimitLine } from './paint-limit-line';

const INK = '#1b1d1f';
const QUIET = '#5b6166';
const RULE = '#b9bec2';
const MARGIN = 54;

type Doc = InstanceType<typeof PDFDocument>;

/** Full TrueType fonts with their licence in the package: the marks ≥, µ, ² and → are all in them. */
function fontFile(name: string): string {
  const folder = path.dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json'));
  return path.join(folder, 'ttf', `${name}.ttf`);
}

/**
 * Paints the page model as a tagged PDF, A4. Times inside come from `at`, so that one machine gives the same bytes;
 * across machines bytes may differ, which is why it is painted once and kept.
 */
export function paintPdf(
  blocks: readonly Block[],
  meta: { title: string; author: string; at: Date },
): Promise<Buffer> {
  const doc = new PDFDocument({
    size: 'A4',
    margins: { top: MARGIN, bottom: MARGIN, left: MARGIN, right: MARGIN },
    pdfVersion: '1.7',
    tagged: true,
    lang: 'en-GB',
    displayTitle: true,
    bufferPages: true,
    font: fontFile('DejaVuSans'),
    info: {
      Title: meta.title,
      Author: meta.author,
      Creator: 'Chordae',
      Producer: 'Chordae',
      CreationDate: meta.at,
      ModDate: meta.at,
    },
  });
  doc.registerFont('plain', fontFile('DejaVuSans'));
  doc.registerFont('strong', fontFile('DejaVuSans-Bold'));
  const chunks: Buffer[] = [];
  const done = new Promise<Buffer>((resolve, reject) => {
    doc.on('data', (c: Buffer) => chunks.push(c));
    doc.on('end', () => resolve(Buffer.concat(chunks)));
    doc.on('error', reject);
  });
  const page = doc.struct('Document');
  doc.addStructure(page);
  for (const block of blocks) paintBlock(doc, page, block);
  page.end();
  numberPages(doc, meta.title);
  doc.end();
  return done;
}

type Struct = ReturnType<Doc['struct']>;

function text(
  doc: Doc,
  parent: Struct,
  tag: string,
  words: string,
  options: {
    size?: number;
    strong?: boolean;
    colour?: string;
    gap?: number;
    width?: number;
    x?: number;
  } = {},
): void {
  const { size = 9.5, strong = false, colour = INK, gap = 3 } = options;
  parent.add(
    doc.struct(tag, {}, () => {
      doc
        .font(strong ? 'strong' : 'plain')
        .fontSize(size)
        .fillColor(colour);
      doc.text(words, options.x ?? MARGIN, doc.y, {
        width: options.width ?? doc.page.width - 2 * MARGIN,
        lineGap: 1.5,
      });
    }),
  );
  doc.y += gap;
}

/** Starts a page when less than `points` are left, so that a heading never stands alone at the foot. */
function need(doc: Doc, points: number): void {
  if (doc.y + points > doc.page.height - MARGIN) doc.addPage();
}

function rule(doc: Doc): void {
  const y = doc.y + 2;
  doc.markContent('Artifact', { type: 'Layout' });
  doc
    .moveTo(MARGIN, y)
    .lineTo(doc.page.width - MARGIN, y)
    .lineWidth(0.6)
    .strokeColor(RULE)
    .stroke();
  doc.endMarkedContent();
  doc.y = y + 8;
}

function paintBlock(doc: Doc, page: Struct, block: Block): void {
  switch (block.kind) {
    case 'letterhead':
      text(doc, page, 'P', block.name, { size: 13, strong: true, gap: 1 });
      for (const line of block.lines) text(doc, page, 'P', line, { size: 8.5, colour: QUIET, gap: 0 });
      if (block.demo)
        text(doc, page, 'P', 'Invented demonstration: no real person, clinic or animal.', {
          size: 8.5,
          strong: true,
          gap: 0,
        });
      rule(doc);
      break;
    case 'title':
      text(doc, page, 'H1', block.text, { size: 18, strong: true, gap: 6 });
      break;
    case 'heading':
      need(doc, 60);
      doc.y += 5;
      text(doc, page, 'H2', block.text, { size: 11, strong: true, gap: 2 });
      break;
    case 'paragraph':
      need(doc, 30);
      text(doc, page, 'P', block.text, { size: block.strong ? 10.5 : 9.5, gap: 4 });
      break;
    case 'facts':
      paintTable(
        doc,
        page,
        block.rows.map(([label, value]) => ({ label, value, quiet: false })),
        80,
      );
      rule(doc);
      break;
    case 'findings':
      paintTable(
        doc,
        page,
        block.rows.map((r) => ({ label: r.structure, value: r.text, quiet: r.quiet })),
        150,
      );
      break;
    case 'indices':
      for (const row of block.rows) paintIndex(doc, page, row);
      break;
    case 'flags':
      for (const row of block.rows) {
        need(doc, 34);
        text(doc, page, 'P', `${row.level}: ${row.sentence}`, { size: 9, gap: 0 });
        text(doc, page, 'P', row.answer, { size: 8.5, colour: QUIET, gap: 5 });
      }
      break;
    case 'small':
      need(doc, 50);
      doc.y += 4;
      rule(doc);
      for (const line of block.lines) text(doc, page, 'P', line, { size: 7, colour: QUIET, gap: 1 });
      break;
    case 'signature':
      need(doc, 76);
      doc.y += 8;
      rule(doc);
      text(doc, page, 'P', block.signed ? `Signed by ${block.signer}, ${block.group}` : 'Not signed', {
        size: 10.5,
        strong: true,
        gap: 1,
      });
      text(doc, page, 'P', block.signedAt, { size: 9, gap: 1 });
      text(doc, page, 'P', `SHA-256 of the signed text: ${block.hash}`, { size: 7.5, colour: QUIET, gap: 2 });
      break;
  }
}

/** A real table for screen readers: one row per line, the label as its header cell. */
function paintTable(
  doc: Doc,
  page: Struct,
  rows: readonly { label: string; value: string; quiet: boolean }[],
  labelWidth: number,
): void {
  const table = doc.struct('Table');
  page.add(table);
  for (const row of rows) {
    need(doc, 28);
    const tr = doc.struct('TR');
    table.add(tr);
    const top = doc.y;
    tr.add(
      doc.struct('TH', {}, () => {
        doc
          .font('strong')
          .fontSize(9)
          .fillColor(INK)
          .text(row.label, MARGIN, top, { width: labelWidth - 8 });
      }),
    );
    const afterLabel = doc.y;
    tr.add(
      doc.struct('TD', {}, () => {
        doc
          .font('plain')
          .fontSize(9.5)
          .fillColor(row.quiet ? QUIET : INK)
          .text(row.value, MARGIN + labelWidth, top, {
            width: doc.page.width - 2 * MARGIN - labelWidth,
            lineGap: 1.5,
          });
      }),
    );
    tr.end();
    doc.y = Math.max(doc.y, afterLabel) + 3;
    doc.x = MARGIN;
  }
  table.end();
}

function paintIndex(doc: Doc, page: Struct, row: Extract<Block, { kind: 'indices' }>['rows'][number]): void {
  need(doc, 62);
  text(doc, page, 'P', row.label, { size: 9.5, strong: true, gap: 0 });
  paintLimitLine(doc, page, row.index, row.sentence, doc.page.width - 2 * MARGIN);
  text(doc, page, 'P', row.sentence, { size: 8.5, colour: QUIET, gap: 6 });
}

function numberPages(doc: Doc, title: string): void {
  const range = doc.bufferedPageRange();
  for (let i = 0; i < range.count; i += 1) {
    doc.switchToPage(range.start + i);
    doc.page.margins.bottom = 0;
    doc.markContent('Artifact', { type: 'Pagination' });
    doc.font('plain').fontSize(7.5).fillColor(QUIET);
    doc.text(`${title}   ${i + 1} of ${range.count}`, MARGIN, doc.page.height - 36, {
      width: doc.page.width - 2 * MARGIN,
      lineBreak: false,
    });
    doc.endMarkedContent();
  }
}
