import { exactCos, exactSin } from '@chordae/units';
import type { Plane } from '../picture/plane';
import type { FanShape, RowSpans } from './fan-shape';
import { rowSpans } from './fan-shape';

/** Activity that counts for nothing: above it a pixel wants to be in the fan, below it outside. */
const threshold = 0.22;

/** Sums along rows of (activity − threshold), so that a fan is scored row by row and not pixel by pixel. */
export interface RowSums {
  readonly width: number;
  readonly height: number;
  readonly sums: Float64Array;
}

export function rowSums({ width, height, values }: Plane): RowSums {
  const sums = new Float64Array((width + 1) * height);
  for (let y = 0; y < height; y += 1) {
    let sum = 0;
    for (let x = 0; x < width; x += 1) {
      sum += (values[y * width + x] as number) - threshold;
      sums[y * (width + 1) + x + 1] = sum;
    }
  }
  return { width, height, sums };
}

function sumTo({ width, sums }: RowSums, y: number, x: number): number {
  const at = Math.max(0, Math.min(width, x));
  const x0 = Math.min(width - 1, Math.floor(at));
  const base = y * (width + 1) + x0;
  const a = sums[base] as number;
  return a + ((sums[base + 1] as number) - a) * (at - x0);
}

const spans: RowSpans = { a0: 0, a1: 0, b0: 0, b1: 0 };

/** Sum of (activity − threshold) over the fan, less a little for parts off the picture and for leaning. */
export function scoreFan(fan: FanShape, rows: RowSums): number {
  const { width, height } = rows;
  let score = 0;
  let outside = 0;
  const first = Math.floor(fan.apexY);
  const last = Math.ceil(fan.apexY + fan.outer);
  for (let y = first; y < last; y += 1) {
    if (!rowSpans(fan, y + 0.5, spans)) continue;
    for (let part = 0; part < 2; part += 1) {
      const from = part === 0 ? spans.a0 : spans.b0;
      const to = part === 0 ? spans.a1 : spans.b1;
      if (to <= from) continue;
      if (y < 0 || y >= height) {
        outside += to - from;
        continue;
      }
      score += sumTo(rows, y, to) - sumTo(rows, y, from);
      outside += Math.max(0, -from) + Math.max(0, to - width);
    }
  }
  const lean = Math.abs(fan.left + fan.right);
  return score - 0.03 * outside - 0.004 * lean * fan.outer * fan.outer;
}

/** Is this a fan at all: opening between about 10 and 170 degrees, radii in order. */
function isSound(fan: FanShape): boolean {
  return (
    fan.right - fan.left > 0.15 &&
    fan.left < 0.35 &&
    fan.right > -0.35 &&
    fan.left > -9 &&
    fan.right < 9 &&
    fan.inner >= 0 &&
    fan.outer > fan.inner * 1.12 + 4
  );
}

type Move = (fan: FanShape, step: number) => FanShape;

/** Single numbers, and joint moves that keep what is already right: borders where they are while the apex slides. */
const moves: readonly Move[] = [
  (f, s) => ({ ...f, outer: f.outer + s }),
  (f, s) => ({ ...f, inner: f.inner + s }),
  (f, s) => ({ ...f, left: f.left + s / f.outer }),
  (f, s) => ({ ...f, right: f.right + s / f.outer }),
  (f, s) => ({ ...f, left: f.left - s / f.outer, right: f.right + s / f.outer }),
  (f, s) => ({ ...f, apexX: f.apexX + s }),
  (f, s) => ({ ...f, apexY: f.apexY + s }),
  (f, s) => ({ ...f, apexY: f.apexY + s, outer: f.outer - s, inner: Math.max(0, f.inner - s) }),
  (f, s) => {
    const ratio = f.outer / Math.max(4, f.outer - s);
    return {
      ...f,
      apexY: f.apexY + s,
      outer: f.outer - s,
      inner: Math.max(0, f.inner - s),
      left: f.left * ratio,
      right: f.right * ratio,
    };
  },
  (f, s) => ({ ...f, apexX: f.apexX + s, left: f.left - s / f.outer, right: f.right - s / f.outer }),
];

/** Coordinate moves uphill from a start, steps halving from `step` to `finest` pixels. */
export function climb(
  start: FanShape,
  rows: RowSums,
  step: number,
  finest: number,
): { readonly fan: FanShape; readonly score: number } {
  let fan = start;
  let score = scoreFan(fan, rows);
  for (let size = step; size >= finest; size /= 2) {
    for (let round = 0; round < 12; round += 1) {
      let better = false;
      for (const move of moves) {
        for (const sign of [size, -size]) {
          const next = move(fan, sign);
          if (!isSound(next)) continue;
          const reached = scoreFan(next, rows);
          if (reached > score + 1e-9) {
            fan = next;
            score = reached;
            better = true;
          }
        }
      }
      if (!better) break;
    }
  }
  return { fan, score };
}

/** Half openings that a first guess is made from, in degrees: from narrow phased arrays to wide curved ones. */
const openings = [18, 26, 33, 38, 43, 50, 60].map((deg) => {
  const angle = (deg / 180) * Math.PI;
  return { sin: exactSin(angle), cos: exactCos(angle) };
});

export interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Fans of usual openings that fill a box. */
export function startsIn(box: Box, flatTop: boolean): FanShape[] {
  const width = box.x1 - box.x0;
  return openings.map(({ sin, cos }) => {
    const outer = Math.max(8, width / (2 * sin));
    const apexY = box.y1 - outer;
    const inner = Math.max(0, Math.min(outer * 0.8, (box.y0 - apexY) / (flatTop ? 1 : cos)));
    return {
      apexX: (box.x0 + box.x1) / 2,
      apexY,
      left: -sin / cos,
      right: sin / cos,
      inner,
      outer,
      flatTop,
    };
  });
}

/** Best fan over several starts. */
export function fitFan(
  starts: readonly FanShape[],
  rows: RowSums,
): { readonly fan: FanShape; readonly score: number } | null {
  const first = starts
    .map((fan) => climb(fan, rows, rows.width / 25, 1.9))
    .sort((a, b) => b.score - a.score)
    .slice(0, 3)
    .map(({ fan }) => climb(fan, rows, rows.width / 50, 0.25))
    .sort((a, b) => b.score - a.score);
  return first[0] ?? null;
}
