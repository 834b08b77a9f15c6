import { type Doc, MARGIN, QUIET, WIDTH } from './sheet-of-paper';

/** Marks what is drawn as decoration, so that a screen reader passes over it. */
export function artifact(doc: Doc, type: 'Layout' | 'Pagination', draw: () => void): void {
  doc.markContent('Artifact', { type });
  draw();
  doc.endMarkedContent();
}

/** Pale, large, under the text: a page that is torn out still says what it is not. */
export function writeAcross(doc: Doc, words: string): void {
  const { x, y } = doc;
  const bottom = doc.page.margins.bottom;
  doc.page.margins.bottom = 0;
  artifact(doc, 'Layout', () => {
    doc.save();
    doc.font('strong').fontSize(58).fillColor('#efefef');
    const width = doc.widthOfString(words);
    doc.rotate(-52, { origin: [doc.page.width / 2, doc.page.height / 2] });
    doc.text(words, doc.page.width / 2 - width / 2, doc.page.height / 2 - 30, { lineBreak: false });
    doc.restore();
  });
  doc.page.margins.bottom = bottom;
  doc.x = x;
  doc.y = y;
}

/** Title and number at the foot of every page, for eyes only: a screen reader has its own. */
export function numberPages(doc: Doc, title: string, across: string | null): void {
  const { start, count } = doc.bufferedPageRange();
  for (let i = 0; i < count; i += 1) {
    doc.switchToPage(start + i);
    doc.page.margins.bottom = 0;
    const y = doc.page.height - 38;
    artifact(doc, 'Pagination', () => {
      doc.font('plain').fontSize(7.5).fillColor(QUIET);
      doc.text(across ? `${title}. ${across}` : title, MARGIN.side, y, {
        width: WIDTH - 60,
        lineBreak: false,
      });
      const number = `${i + 1} of ${count}`;
      doc.text(number, MARGIN.side + WIDTH - doc.widthOfString(number), y, { lineBreak: false });
    });
  }
}
