import type { IndexResult } from '@chordae/contract';
import { limitLine, type Shape, type Tone } from '@chordae/figure';
import type { Doc, Struct } from './paper';

/** Inks for print: meaning rests on form and weight, grey alone would do. */
const INKS: Record<Tone, string> = {
  ink: '#3b4044',
  strong: '#101213',
  faint: '#8c9297',
  paler: '#b9bec2',
  band: '#e3e6e8',
};

/** Draws the same limit line as the pages show, tagged as a figure with its sentence as the alternative text. */
export function paintLimitLine(
  doc: Doc,
  parent: Struct,
  index: IndexResult,
  alternative: string,
  at: { x: number; y: number; width: number },
): void {
  const figure = limitLine({ index, width: at.width, textSize: 7 });
  parent.add(
    doc.struct('Figure', { alt: alternative }, () => {
      doc.save();
      for (const shape of figure.shapes) paintShape(doc, shape, at.x, at.y);
      doc.restore();
    }),
  );
}

function paintShape(doc: Doc, s: Shape, dx: number, dy: number): void {
  const ink = INKS[s.tone];
  switch (s.kind) {
    case 'line':
      doc
        .moveTo(dx + s.x1, dy + s.y1)
        .lineTo(dx + s.x2, dy + s.y2)
        .lineWidth(s.width)
        .strokeColor(ink);
      if (s.dash) doc.dash(s.dash[0] ?? 2, { space: s.dash[1] ?? 2 });
      doc.stroke();
      if (s.dash) doc.undash();
      break;
    case 'rect':
      doc.rect(dx + s.x, dy + s.y, s.width, s.height);
      if (s.filled) doc.fillColor(ink).fill();
      else doc.lineWidth(0.6).strokeColor(ink).stroke();
      break;
    case 'tick':
      doc
        .moveTo(dx + s.x, dy + s.y1)
        .lineTo(dx + s.x, dy + s.y2)
        .lineWidth(s.width)
        .strokeColor(ink)
        .stroke();
      break;
    case 'mark':
      if (s.form === 'circle') doc.circle(dx + s.x, dy + s.y, s.size / 2);
      else
        doc.polygon(
          [dx + s.x, dy + s.y - s.size / 2],
          [dx + s.x + s.size / 2, dy + s.y],
          [dx + s.x, dy + s.y + s.size / 2],
          [dx + s.x - s.size / 2, dy + s.y],
        );
      if (s.filled) doc.fillColor(ink).fill();
      else doc.lineWidth(0.8).strokeColor(ink).stroke();
      break;
    case 'text': {
      doc
        .font(s.weight === 'strong' ? 'strong' : 'plain')
        .fontSize(s.size)
        .fillColor(ink);
      const width = doc.widthOfString(s.text);
      const x = s.anchor === 'start' ? s.x : s.anchor === 'end' ? s.x - width : s.x - width / 2;
      doc.text(s.text, dx + x, dy + s.y - s.size * 0.78, { lineBreak: false });
      break;
    }
  }
}
