import { type Block, type PrintedFrame, pictureKey } from '@chordae/report';
import { drawOnFrame } from './draw-on-frame';
import { heightOf, INK, MARGIN, need, type Paper, QUIET, RULE, type Struct, WIDTH, write } from './paper';

/** The picture of a frame as JPEG, with the size of the frame that the drawings were made on. */
export interface FramePicture {
  readonly jpeg: Buffer;
  readonly widthPx: number;
  readonly heightPx: number;
}
export type Pictures = ReadonlyMap<string, FramePicture>;

const GAP = 15;
const CELL = (WIDTH - GAP) / 2;
const NOTE = 132;
export const NO_PICTURE = 'The picture could not be read when this page was made.';

/** Two frames side by side, each with its caption; a pair is never torn. One alone stands at the same size. */
export function paintKeyFrames(paper: Paper, frames: readonly PrintedFrame[], pictures: Pictures): void {
  const { doc } = paper;
  const cell = CELL * paper.density;
  for (let i = 0; i < frames.length; i += 2) {
    const pair = frames.slice(i, i + 2);
    const heights = pair.map((f) => frameHeight(pictures, f, cell) + captionHeight(paper, f, cell));
    need(doc, Math.max(...heights) + 8);
    const top = doc.y;
    pair.forEach((frame, at) => {
      const x = MARGIN.side + at * (cell + GAP);
      paintFrame(paper, paper.tree, frame, pictures, { x, y: top, width: cell });
      doc.y = top + frameHeight(pictures, frame, cell) + 4;
      if (frame.caption.trim() !== '')
        write(paper, paper.tree, 'P', frame.caption, { size: 8.5, x, width: cell, gap: 0 });
      write(paper, paper.tree, 'P', frame.label, { size: 7.5, colour: QUIET, x, width: cell, gap: 0 });
    });
    doc.y = top + Math.max(...heights) + 8;
    doc.x = MARGIN.side;
  }
}

/** What is said about how a clip was scanned, beside the frame it was drawn on. */
export function paintClipNotes(
  paper: Paper,
  rows: Extract<Block, { kind: 'clip-notes' }>['rows'],
  pictures: Pictures,
): void {
  const { doc } = paper;
  for (const row of rows) {
    const x = row.frame ? MARGIN.side + NOTE + 12 : MARGIN.side;
    const width = row.frame ? WIDTH - NOTE - 12 : WIDTH;
    const words = heightOf(doc, row.text, { size: 9, width }) + 14;
    const high = row.frame ? frameHeight(pictures, row.frame, NOTE) : 0;
    need(doc, Math.min(Math.max(words, high), 300) + 6);
    const top = doc.y;
    if (row.frame)
      paintFrame(paper, paper.tree, row.frame, pictures, { x: MARGIN.side, y: top, width: NOTE });
    doc.y = top;
    write(paper, paper.tree, 'P', row.label, { size: 8, colour: QUIET, x, width, gap: 1 });
    if (row.text.trim() !== '') write(paper, paper.tree, 'P', row.text, { size: 9, x, width, gap: 0 });
    doc.y = Math.max(doc.y, top + high) + 7;
  }
}

function captionHeight({ doc }: Paper, frame: PrintedFrame, width: number): number {
  const caption = frame.caption.trim() === '' ? 0 : heightOf(doc, frame.caption, { size: 8.5, width });
  return 4 + caption + heightOf(doc, frame.label, { size: 7.5, width });
}

function frameHeight(pictures: Pictures, frame: PrintedFrame, width: number): number {
  const picture = pictures.get(pictureKey(frame));
  return picture ? (width * picture.heightPx) / picture.widthPx : width * 0.5;
}

function paintFrame(
  { doc }: Paper,
  parent: Struct,
  frame: PrintedFrame,
  pictures: Pictures,
  at: { x: number; y: number; width: number },
): void {
  const picture = pictures.get(pictureKey(frame));
  const height = frameHeight(pictures, frame, at.width);
  const alt = picture ? frame.alt : `${frame.alt}. ${NO_PICTURE}`;
  parent.add(
    doc.struct('Figure', { alt }, () => {
      if (picture) {
        doc.image(picture.jpeg, at.x, at.y, { width: at.width, height });
        const scale = at.width / picture.widthPx;
        drawOnFrame(doc, { x: at.x, y: at.y, scale, widthPt: at.width, heightPt: height }, frame.drawings);
      } else {
        doc.rect(at.x, at.y, at.width, height).lineWidth(0.6).strokeColor(RULE).stroke();
        doc.font('plain').fontSize(8).fillColor(INK);
        doc.text(NO_PICTURE, at.x + 8, at.y + 8, { width: at.width - 16 });
      }
    }),
  );
}
