import type { Plane } from '../picture/plane';
import { blur, valueAt } from '../picture/plane';
import type { Box } from '../sector/fit-fan';
import { digitShapes } from './digit-shapes';

const rows = 12;
const columns = 10;

/** A glyph brought to one height, smoothed, its mean taken out and its length made 1. */
type Print = Float64Array;

interface Template {
  readonly digit: number;
  readonly print: Print;
  /** Width by height. */
  readonly slender: number;
}

/** Narrower than this a shape is a stroke: a 1 or no digit. */
const strokeShape = 0.5;

/** Empty rim of the grid, so that what is smoothed has somewhere to go. */
const rim = 2;
const gridWidth = columns + 2 * rim;
const gridHeight = rows + 2 * rim;

/** A glyph's brightness on a grid of one height, middle kept, smoothed so that a stroke's shift costs little. */
function printOf(plane: Plane, { x0, y0, x1, y1 }: Box): Print {
  const size = (y1 - y0) / rows;
  const middle = (x0 + x1) / 2;
  const half = (x1 - x0) / 2;
  const values = new Float32Array(gridWidth * gridHeight);
  for (let r = 0; r < rows; r += 1)
    for (let c = 0; c < columns; c += 1) {
      const x = middle + (c + 0.5 - columns / 2) * size;
      const y = y0 + (r + 0.5) * size;
      if (Math.abs(x - middle) > half) continue;
      let sum = 0;
      for (const [dx, dy] of corners) sum += valueAt(plane, x + dx * size, y + dy * size);
      values[(r + rim) * gridWidth + c + rim] = sum / corners.length;
    }
  return unitLength(Float64Array.from(blur({ width: gridWidth, height: gridHeight, values }, 1, 1).values));
}

const corners = [-0.25, 0.25].flatMap((dy) => [-0.25, 0.25].map((dx) => [dx, dy] as const));

function unitLength(print: Print): Print {
  const mean = print.reduce((a, b) => a + b, 0) / print.length;
  const length = Math.sqrt(print.reduce((sum, v) => sum + (v - mean) * (v - mean), 0));
  return print.map((v) => (length > 0 ? (v - mean) / length : 0));
}

let made: readonly Template[] | null = null;

/** Drawn when first asked for. */
function templates(): readonly Template[] {
  made ??= digitShapes().map(({ digit, plane }) => ({
    digit,
    print: printOf(plane, { x0: 0, y0: 0, x1: plane.width, y1: plane.height }),
    slender: plane.width / plane.height,
  }));
  return made;
}

export interface ReadDigit {
  readonly digit: number;
  /** Likeness to the drawn digit, 0 to 1. */
  readonly likeness: number;
}

/** Correlation of two prints, the best over shifts by a cell in each direction. */
function likenessOf(template: Print, print: Print): number {
  let best = -1;
  for (let dy = -1; dy <= 1; dy += 1)
    for (let dx = -1; dx <= 1; dx += 1) {
      let sum = 0;
      for (let r = 1; r < gridHeight - 1; r += 1)
        for (let c = 1; c < gridWidth - 1; c += 1)
          sum += (template[r * gridWidth + c] as number) * (print[(r + dy) * gridWidth + c + dx] as number);
      best = Math.max(best, sum);
    }
  return best;
}

/** The digit that a lit shape looks most like; null where none is near, or two are as near. */
export function readDigit(plane: Plane, box: Box): ReadDigit | null {
  const height = box.y1 - box.y0;
  const slender = (box.x1 - box.x0) / Math.max(1, height);
  if (height < 5 || slender > 1) return null;
  const print = printOf(plane, box);
  const likeness = new Map<number, number>();
  for (const template of templates()) {
    // A stroke is only held against strokes, since stretched to one height all else differs most by its width.
    if (
      slender < strokeShape !== template.slender < strokeShape &&
      Math.abs(slender - template.slender) > 0.25
    )
      continue;
    const same = likenessOf(template.print, print);
    likeness.set(template.digit, Math.max(likeness.get(template.digit) ?? -1, same));
  }
  const [first, second] = [...likeness].sort((a, b) => b[1] - a[1]);
  if (!first || first[1] < 0.75 || first[1] - (second?.[1] ?? 0) < 0.05) return null;
  return { digit: first[0], likeness: first[1] };
}
