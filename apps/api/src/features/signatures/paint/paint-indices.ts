import type { Block } from '@chordae/report';
import { artifact } from './page-marks';
import { paintLimitLine } from './paint-limit-line';
import { atTop, heightOf, INK, MARGIN, need, type Paper, QUIET, RULE, WIDTH } from './paper';

const NAME = 82;
const LINE = 212;
const GAP = 12;
const SAYS = WIDTH - NAME - LINE - GAP;
const SAYS_SIZE = 7.6;

/** Names, limit lines and sentences in three columns, so that every scale begins and ends at the same place. */
export function paintIndices(paper: Paper, rows: Extract<Block, { kind: 'indices' }>['rows']): void {
  const { doc, tree } = paper;
  const table = doc.struct('Table');
  tree.add(table);
  const heights = rows.map((row) =>
    Math.max(32, heightOf(doc, row.sentence, { size: SAYS_SIZE, width: SAYS, lineGap: 1 }) + 4),
  );
  rows.forEach((row, at) => {
    const height = heights[at] ?? 32;
    // The last row takes the one before it along: none stands alone on a page.
    const along = at === rows.length - 2 ? (heights[at + 1] ?? 0) + 4 : 0;
    need(doc, height + 4 + along);
    if (at > 0 && !atTop(doc))
      artifact(doc, 'Layout', () =>
        doc
          .moveTo(MARGIN.side, doc.y - 1)
          .lineTo(MARGIN.side + WIDTH, doc.y - 1)
          .lineWidth(0.35)
          .strokeColor(RULE)
          .stroke(),
      );
    const top = doc.y + 2;
    const tr = doc.struct('TR');
    table.add(tr);
    tr.add(
      doc.struct('TH', {}, () => {
        doc.font('strong').fontSize(8.5).fillColor(INK);
        doc.text(row.label, MARGIN.side, top + 3, { width: NAME - 8, lineGap: 1 });
        doc.font('plain').fontSize(8.5);
        doc.text(row.value, MARGIN.side, doc.y, { width: NAME - 8 });
      }),
    );
    const td = doc.struct('TD');
    tr.add(td);
    paintLimitLine(doc, td, row.index, row.sentence, { x: MARGIN.side + NAME, y: top, width: LINE });
    td.end();
    tr.add(
      doc.struct('TD', {}, () => {
        doc.font('plain').fontSize(SAYS_SIZE).fillColor(QUIET);
        doc.text(row.sentence, MARGIN.side + NAME + LINE + GAP, top + 2, { width: SAYS, lineGap: 1 });
      }),
    );
    tr.end();
    doc.x = MARGIN.side;
    doc.y = top + height + 2;
  });
  table.end();
}
