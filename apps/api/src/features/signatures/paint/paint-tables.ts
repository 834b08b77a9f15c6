import { artifact } from './page-marks';
import { atTop, heightOf, INK, MARGIN, need, type Paper, pageNumber, QUIET, RULE, WIDTH } from './paper';

export interface TableRow {
  readonly label: string;
  readonly value: string;
  readonly quiet: boolean;
}

export interface TableStyle {
  readonly labelWidth: number;
  readonly size: number;
  /** A hairline between rows. */
  readonly lines: boolean;
  readonly gap: number;
}

/** A real table for screen readers: one row per line, the label as its header cell. A row is torn only when it must be. */
export function paintTable(paper: Paper, rows: readonly TableRow[], style: TableStyle): void {
  const { doc, tree } = paper;
  const table = doc.struct('Table');
  tree.add(table);
  const valueWidth = WIDTH - style.labelWidth;
  rows.forEach((row, at) => {
    const height = Math.max(
      heightOf(doc, row.value, { size: style.size, width: valueWidth }),
      heightOf(doc, row.label, { size: style.size, font: 'strong', width: style.labelWidth - 10 }),
    );
    need(doc, Math.min(height, 160) + style.gap);
    if (style.lines && at > 0 && !atTop(doc)) hairline(paper);
    const tr = doc.struct('TR');
    table.add(tr);
    const top = doc.y;
    const page = pageNumber(doc);
    tr.add(
      doc.struct('TH', {}, () => {
        doc
          .font('strong')
          .fontSize(style.size)
          .fillColor(row.quiet ? QUIET : INK);
        doc.text(row.label, MARGIN.side, top, { width: style.labelWidth - 10, lineGap: 1.6 });
      }),
    );
    const afterLabel = doc.y;
    tr.add(
      doc.struct('TD', {}, () => {
        doc
          .font('plain')
          .fontSize(style.size)
          .fillColor(row.quiet ? QUIET : INK);
        doc.text(row.value, MARGIN.side + style.labelWidth, top, { width: valueWidth, lineGap: 1.6 });
      }),
    );
    tr.end();
    // A long value has gone on to the next page: what stands beside it there is not the label.
    doc.y = (pageNumber(doc) === page ? Math.max(doc.y, afterLabel) : doc.y) + style.gap * paper.density;
    doc.x = MARGIN.side;
  });
  table.end();
}

function hairline({ doc }: Paper): void {
  const y = doc.y - 1.5;
  artifact(doc, 'Layout', () =>
    doc
      .moveTo(MARGIN.side, y)
      .lineTo(MARGIN.side + WIDTH, y)
      .lineWidth(0.35)
      .strokeColor(RULE)
      .stroke(),
  );
  doc.y += 1.5;
}
