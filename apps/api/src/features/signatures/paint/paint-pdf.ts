import { type Block, DRAFT_MARK } from '@chordae/report';
import { artifact } from './page-marks';
import { type Pictures, paintClipNotes, paintKeyFrames } from './paint-frames';
import { paintIndices } from './paint-indices';
import { paintTable } from './paint-tables';
import {
  heightOf,
  INK,
  MARGIN,
  need,
  type Paper,
  pageNumber,
  paintOnPaper,
  QUIET,
  rule,
  WIDTH,
  write,
} from './paper';

/** Less of a last page than this is written tighter, if that saves the page. */
const FEW_LINES = 0.3;
const TIGHTER = [0.85, 0.7] as const;

/**
 * Paints the page model as a tagged PDF, A4; a draft says across every page that it is one. Where only a few lines would
 * stand on a last page, all is set a little tighter.
 */
export async function paintPdf(
  blocks: readonly Block[],
  meta: { title: string; author: string; at: Date },
  pictures: Pictures = new Map(),
): Promise<Buffer> {
  const draft = blocks.some((b) => b.kind === 'signature' && !b.signed);
  const paint = (density: number) =>
    paintOnPaper({ ...meta, across: draft ? DRAFT_MARK : null, density }, (paper) => {
      for (const [at, block] of blocks.entries()) paintBlock(paper, block, blocks[at + 1], pictures);
    });
  const usual = await paint(1);
  if (usual.pages === 1 || usual.lastFilled > FEW_LINES) return usual.bytes;
  for (const density of TIGHTER) {
    const tight = await paint(density);
    if (tight.pages < usual.pages) return tight.bytes;
  }
  return usual.bytes;
}

const ANSWERS = { labelWidth: 96, size: 9.5, lines: false, gap: 5 };
const FINDINGS = { labelWidth: 158, size: 9, lines: true, gap: 5 };

function paintBlock(paper: Paper, block: Block, next: Block | undefined, pictures: Pictures): void {
  const { doc, tree } = paper;
  switch (block.kind) {
    case 'letterhead':
      return letterhead(paper, block);
    case 'title':
      return title(paper, block);
    case 'facts': {
      const rows = block.rows.map(([label, value]) => ({ label, value, quiet: false }));
      paintTable(paper, rows, { labelWidth: 62, size: 8.5, lines: false, gap: 2 });
      return rule(doc, { gap: 8 });
    }
    case 'act-now':
      return actNow(paper, block);
    case 'heading':
      return heading(paper, block.text, next);
    case 'paragraph':
      need(doc, 30);
      return write(paper, tree, 'P', block.text, {
        size: block.strong ? 11 : 9,
        font: block.strong ? 'serif' : 'plain',
        lineGap: block.strong ? 2.6 : 1.6,
        gap: 7,
      });
    case 'answers':
      return paintTable(
        paper,
        block.rows.map(([label, value]) => ({ label, value, quiet: false })),
        ANSWERS,
      );
    case 'findings':
      return paintTable(
        paper,
        block.rows.map((r) => ({ label: r.structure, value: r.text, quiet: r.quiet })),
        FINDINGS,
      );
    case 'indices':
      return paintIndices(paper, block.rows);
    case 'key-frames':
      return paintKeyFrames(paper, block.frames, pictures);
    case 'clip-notes':
      return paintClipNotes(paper, block.rows, pictures);
    case 'flags':
      return flags(paper, block);
    case 'small':
      doc.y += 2;
      for (const line of block.lines)
        write(paper, tree, 'P', line, {
          size: paper.density < 1 ? 6.2 : 6.8,
          colour: QUIET,
          gap: 2,
          lineGap: 0.8,
        });
      return;
    case 'signature':
      return signature(paper, block);
  }
}

function letterhead(paper: Paper, block: Extract<Block, { kind: 'letterhead' }>): void {
  const { doc, tree } = paper;
  const top = doc.y;
  write(paper, tree, 'P', block.name, { size: 13, font: 'serif', width: WIDTH * 0.55, gap: 1 });
  if (block.demo)
    write(paper, tree, 'P', 'Invented demonstration: no real person, clinic or animal.', {
      size: 7.5,
      font: 'strong',
      width: WIDTH * 0.55,
      gap: 0,
    });
  const left = doc.y;
  doc.y = top + 2;
  for (const line of block.lines)
    write(paper, tree, 'P', line, {
      size: 7.8,
      colour: QUIET,
      x: MARGIN.side + WIDTH * 0.55,
      width: WIDTH * 0.45,
      align: 'right',
      gap: 0,
    });
  doc.y = Math.max(left, doc.y) + 1;
  rule(doc, { width: 1.1, colour: INK, gap: 7 });
}

function title(paper: Paper, block: Extract<Block, { kind: 'title' }>): void {
  const { doc, tree } = paper;
  doc.y += 5;
  write(paper, tree, 'H1', block.text, { size: 19, font: 'serif', gap: 4 });
  if (block.note) write(paper, tree, 'P', block.note, { size: 9.5, font: 'strong', gap: 5 });
  if (block.mark) write(paper, tree, 'P', block.mark, { size: 10.5, font: 'strong', gap: 5 });
}

/** A heading never stands alone at the foot of a page: it goes on with what follows it. */
function heading(paper: Paper, text: string, next: Block | undefined): void {
  const { doc, tree } = paper;
  const follows = next?.kind === 'key-frames' ? 230 : next?.kind === 'paragraph' ? 52 : 62;
  need(doc, follows);
  doc.y += 7;
  write(paper, tree, 'H2', text, { size: 10.5, font: 'strong', gap: 4 });
}

function actNow(paper: Paper, block: Extract<Block, { kind: 'act-now' }>): void {
  const { doc, tree } = paper;
  const x = MARGIN.side + 14;
  const width = WIDTH - 14;
  const words = block.lines.map((line) => heightOf(doc, line, { size: 9.5, font: 'strong', width }) + 3);
  need(doc, Math.min(300, 24 + words.reduce((a, b) => a + b, 0)));
  const top = doc.y;
  const page = pageNumber(doc);
  write(paper, tree, 'H2', block.title, { size: 10.5, font: 'strong', x, width, gap: 2 });
  for (const line of block.lines)
    write(paper, tree, 'P', line, { size: 9.5, font: 'strong', x, width, gap: 3 });
  if (pageNumber(doc) === page) {
    const { y } = doc;
    artifact(doc, 'Layout', () => doc.rect(MARGIN.side, top, 5, y - top - 2).fill(INK));
  }
  doc.y += 4;
}

function flags(paper: Paper, block: Extract<Block, { kind: 'flags' }>): void {
  const { doc, tree } = paper;
  const x = MARGIN.side + 52;
  const width = WIDTH - 52;
  for (const row of block.rows) {
    const high = heightOf(doc, row.sentence, { size: 8.5, width });
    const after = row.answer === '' ? 0 : heightOf(doc, row.answer, { size: 7.8, width });
    need(doc, Math.min(200, high + after + 4));
    const top = doc.y;
    write(paper, tree, 'P', row.level, { size: 8.5, font: 'strong', width: 48, gap: 0 });
    doc.y = top;
    write(paper, tree, 'P', row.sentence, { size: 8.5, x, width, gap: row.answer === '' ? 4 : 0 });
    if (row.answer !== '')
      write(paper, tree, 'P', row.answer, { size: 7.8, colour: QUIET, x, width, gap: 5 });
  }
}

/** Name, time and proof stay together on one page. */
function signature(paper: Paper, block: Extract<Block, { kind: 'signature' }>): void {
  const { doc, tree } = paper;
  need(doc, 58 + block.proof.length * 11);
  doc.y += 6;
  rule(doc, { width: 1.1, colour: INK, gap: 8 });
  write(paper, tree, 'P', block.lead, { size: 11, font: 'serif', gap: 1 });
  write(paper, tree, 'P', block.at, { size: 9, gap: 3 });
  for (const line of block.proof) write(paper, tree, 'P', line, { size: 7.2, colour: QUIET, gap: 1 });
  doc.y += 2;
  rule(doc, { gap: 6 });
}
