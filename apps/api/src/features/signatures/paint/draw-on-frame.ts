import type { FrameDrawing, FramePoint } from '@chordae/contract';
import { frameEllipse } from '@chordae/report';
import type { Doc } from './paper';

/** Where a frame lies on the paper: upper left corner, and points per pixel of the frame. */
export interface FramePlace {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
  readonly widthPt: number;
  readonly heightPt: number;
}

/**
 * Draws what was drawn on a frame as lines over its picture: light on dark, so that they stand out on any grey and need no
 * colour. Points are pixels of the frame.
 */
export function drawOnFrame(doc: Doc, place: FramePlace, drawings: readonly FrameDrawing[]): void {
  doc.save();
  doc.rect(place.x, place.y, place.widthPt, place.heightPt).clip();
  for (const drawing of drawings) {
    for (const [width, colour] of [
      [2.4, '#000000'],
      [0.9, '#ffffff'],
    ] as const) {
      doc.lineWidth(width).strokeColor(colour);
      trace(doc, place, drawing);
    }
  }
  for (const drawing of drawings) writeLabel(doc, place, drawing);
  doc.restore();
}

function at(place: FramePlace, p: FramePoint): [number, number] {
  return [place.x + p.x * place.scale, place.y + p.y * place.scale];
}

function path(doc: Doc, place: FramePlace, points: readonly FramePoint[], closed: boolean): void {
  points.forEach((p, i) => (i === 0 ? doc.moveTo(...at(place, p)) : doc.lineTo(...at(place, p))));
  if (closed) doc.closePath();
  doc.stroke();
}

function trace(doc: Doc, place: FramePlace, { shape, points, axis }: FrameDrawing): void {
  const [a, b, c] = points;
  if (!a) return;
  switch (shape) {
    case 'velocity':
      cross(doc, place, a);
      break;
    case 'ellipse':
      if (b && c) ellipse(doc, place, [a, b, c]);
      break;
    case 'outline':
    case 'discs':
      path(doc, place, points, true);
      if (axis) path(doc, place, axis, false);
      break;
    case 'angle':
    case 'trace':
      path(doc, place, points, false);
      break;
    default:
      path(doc, place, points, false);
      if (b) ends(doc, place, [a, b]);
  }
}

/** A caliper's ends: short strokes across the line. */
function ends(doc: Doc, place: FramePlace, [a, b]: readonly [FramePoint, FramePoint]): void {
  const [ax, ay] = at(place, a);
  const [bx, by] = at(place, b);
  const length = Math.hypot(bx - ax, by - ay) || 1;
  const [nx, ny] = [(-(by - ay) / length) * 4, ((bx - ax) / length) * 4];
  for (const [x, y] of [
    [ax, ay],
    [bx, by],
  ] as const)
    doc
      .moveTo(x - nx, y - ny)
      .lineTo(x + nx, y + ny)
      .stroke();
}

function cross(doc: Doc, place: FramePlace, p: FramePoint): void {
  const [x, y] = at(place, p);
  doc
    .moveTo(x - 5, y)
    .lineTo(x + 5, y)
    .moveTo(x, y - 5)
    .lineTo(x, y + 5)
    .stroke();
}

/** Two ends of one axis and a point that the other reaches to. */
function ellipse(doc: Doc, place: FramePlace, points: readonly [FramePoint, FramePoint, FramePoint]): void {
  const { middle, first, second, turnDeg } = frameEllipse(points);
  doc.save();
  doc.translate(...at(place, middle)).rotate(turnDeg);
  doc.ellipse(0, 0, first * place.scale, second * place.scale).stroke();
  doc.restore();
}

/** The label stands beside the last point, inside the picture, on a dark ground of its own. */
function writeLabel(doc: Doc, place: FramePlace, { points, label }: FrameDrawing): void {
  const last = points.at(-1);
  if (!last || label.trim() === '') return;
  doc.font('strong').fontSize(7.5);
  const width = doc.widthOfString(label) + 6;
  const [px, py] = at(place, last);
  const x = Math.min(Math.max(px + 6, place.x + 2), place.x + place.widthPt - width - 2);
  const y = Math.min(Math.max(py - 5, place.y + 2), place.y + place.heightPt - 13);
  doc.save();
  doc.fillOpacity(0.72).rect(x, y, width, 11).fill('#000000');
  doc.restore();
  doc.fillColor('#ffffff').text(label, x + 3, y + 1, { lineBreak: false });
}
