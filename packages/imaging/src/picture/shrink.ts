import type { GrayFrame } from '../gray-frame';
import type { Plane } from './plane';

/** A rectangle of a picture in continuous pixel coordinates. */
export interface Window {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

export interface Shrinker {
  readonly window: Window;
  /** Pixels of the original per pixel of the result. */
  readonly scale: number;
  readonly width: number;
  readonly height: number;
  shrink(frame: GrayFrame): Plane;
}

interface Cells {
  /** For each source pixel: the cell it falls in, and the part that falls in the next one. */
  readonly cell: Int32Array;
  readonly next: Float32Array;
  readonly from: number;
  readonly to: number;
}

function cellsOf(start: number, end: number, scale: number, count: number, limit: number): Cells {
  const from = Math.max(0, Math.floor(start));
  const to = Math.min(limit, Math.ceil(end));
  const cell = new Int32Array(Math.max(0, to - from));
  const next = new Float32Array(cell.length);
  for (let n = 0; n < cell.length; n += 1) {
    const a = Math.max(0, (from + n - start) / scale);
    const b = (from + n + 1 - start) / scale;
    const index = Math.min(count - 1, Math.floor(a));
    cell[n] = index;
    next[n] = index + 1 < count ? Math.max(0, Math.min(1, (b - index - 1) / (b - a))) : 0;
  }
  return { cell, next, from, to };
}

/** Prepares taking a window of pictures of one size down to `width` cells by area means; never enlarges. */
export function makeShrinker(frame: GrayFrame, width: number, window?: Window): Shrinker {
  const full = window ?? { x0: 0, y0: 0, x1: frame.widthPx, y1: frame.heightPx };
  const across = Math.max(1, full.x1 - full.x0);
  const down = Math.max(1, full.y1 - full.y0);
  // Tall strips must not become larger than their width promises.
  const scale = Math.max(1, across / width, down / (2.5 * width));
  const w = Math.max(1, Math.round(across / scale));
  const h = Math.max(1, Math.round(down / scale));
  const columns = cellsOf(full.x0, full.x0 + w * scale, scale, w, frame.widthPx);
  const rows = cellsOf(full.y0, full.y0 + h * scale, scale, h, frame.heightPx);
  return {
    window: full,
    scale,
    width: w,
    height: h,
    shrink: (picture) => shrinkInto(picture, columns, rows, w, h),
  };
}

/** Halves a picture: means of two by two; what is left over at the right and below is dropped. */
export function halved({ width, height, values }: Plane): Plane {
  const w = Math.max(1, width >> 1);
  const h = Math.max(1, height >> 1);
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y += 1)
    for (let x = 0; x < w; x += 1) {
      const n = 2 * y * width + 2 * x;
      const right = width > 1 ? 1 : 0;
      const under = height > 1 ? width : 0;
      out[y * w + x] =
        ((values[n] as number) +
          (values[n + right] as number) +
          (values[n + under] as number) +
          (values[n + right + under] as number)) /
        4;
    }
  return { width: w, height: h, values: out };
}

function shrinkInto(frame: GrayFrame, columns: Cells, rows: Cells, w: number, h: number): Plane {
  const values = new Float32Array(w * h);
  const weights = new Float32Array(w * h);
  const line = new Float32Array(w);
  const lineWeight = new Float32Array(w);
  for (let n = 0; n < columns.cell.length; n += 1) {
    const c = columns.cell[n] as number;
    const part = columns.next[n] as number;
    lineWeight[c] = (lineWeight[c] as number) + 1 - part;
    if (part > 0) lineWeight[c + 1] = (lineWeight[c + 1] as number) + part;
  }
  for (let r = 0; r < rows.cell.length; r += 1) {
    line.fill(0);
    const from = (rows.from + r) * frame.widthPx + columns.from;
    for (let n = 0; n < columns.cell.length; n += 1) {
      const v = frame.luma[from + n] as number;
      if (v === 0) continue;
      const c = columns.cell[n] as number;
      const part = columns.next[n] as number;
      line[c] = (line[c] as number) + v * (1 - part);
      if (part > 0) line[c + 1] = (line[c + 1] as number) + v * part;
    }
    const row = rows.cell[r] as number;
    const part = rows.next[r] as number;
    add(values, row * w, line, 1 - part);
    add(weights, row * w, lineWeight, 1 - part);
    if (part > 0) {
      add(values, (row + 1) * w, line, part);
      add(weights, (row + 1) * w, lineWeight, part);
    }
  }
  for (let n = 0; n < values.length; n += 1) {
    const weight = weights[n] as number;
    values[n] = weight > 0 ? (values[n] as number) / weight : 0;
  }
  return { width: w, height: h, values };
}

function add(to: Float32Array, at: number, line: Float32Array, factor: number): void {
  for (let n = 0; n < line.length; n += 1) to[at + n] = (to[at + n] as number) + (line[n] as number) * factor;
}
