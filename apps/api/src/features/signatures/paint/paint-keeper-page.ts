import type { KeeperBlock } from '@chordae/report';
import { artifact } from './page-marks';
import { heightOf, INK, MARGIN, need, type Paper, paintOnPaper, QUIET, rule, WIDTH, write } from './paper';

const SIZE = 14;

/** One plain page in large type for somebody who has never seen an index. */
export async function paintKeeperPage(
  blocks: readonly KeeperBlock[],
  meta: { title: string; author: string; at: Date; across: string | null },
): Promise<Buffer> {
  const { bytes } = await paintOnPaper(meta, (paper) => {
    for (const block of blocks) paintBlock(paper, block);
  });
  return bytes;
}

function paintBlock(paper: Paper, block: KeeperBlock): void {
  const { doc, tree } = paper;
  switch (block.kind) {
    case 'practice':
      write(paper, tree, 'P', block.name, { size: 15, font: 'serif', gap: 0 });
      if (block.phone !== '') write(paper, tree, 'P', block.phone, { size: 12, gap: 2 });
      return rule(doc, { width: 1.1, colour: INK, gap: 12 });
    case 'title':
      return write(paper, tree, 'H1', block.text, { size: 23, font: 'serif', gap: 10 });
    case 'mark':
      need(doc, 40);
      return write(paper, tree, 'P', block.text, { size: 12, font: 'strong', gap: 10 });
    case 'paragraph':
      need(doc, 44);
      return write(paper, tree, 'P', block.text, { size: SIZE, lineGap: 4, gap: 9 });
    case 'points':
      return points(paper, block.points);
    case 'call':
      need(doc, 60);
      doc.y += 6;
      rule(doc, { gap: 10 });
      return write(paper, tree, 'P', block.text, { size: 15, font: 'strong', gap: 10 });
    case 'foot':
      need(doc, block.lines.length * 16);
      for (const line of block.lines) write(paper, tree, 'P', line, { size: 9, colour: QUIET, gap: 2 });
      return;
  }
}

/** A list in the tree as well: each point with its mark and its words. */
function points(paper: Paper, all: readonly string[]): void {
  const { doc, tree } = paper;
  const list = doc.struct('L');
  tree.add(list);
  const x = MARGIN.side + 18;
  const width = WIDTH - 18;
  for (const point of all) {
    need(doc, Math.min(200, heightOf(doc, point, { size: SIZE, width, lineGap: 4 })));
    const item = doc.struct('LI');
    list.add(item);
    const { y } = doc;
    artifact(doc, 'Layout', () => doc.circle(MARGIN.side + 5, y + SIZE * 0.62, 2.2).fill(INK));
    write(paper, item, 'LBody', point, { size: SIZE, lineGap: 4, x, width, gap: 6 });
    item.end();
  }
  list.end();
  doc.y += 4;
}
