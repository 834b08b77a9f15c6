import { spreadFrames } from '../../gray-frame';
import type { WorkingClip } from '../../picture/working';
import { gridSide, inputChannels, shapeOf } from './network';
import { planeOf, strideOf } from './planes';

/** A square laid over the working picture: `cell` working pixels a place, its corner at (x0, y0). */
export interface Grid {
  readonly x0: number;
  readonly y0: number;
  readonly cell: number;
}

export const gridCells = gridSide * gridSide;
/** Frames that are looked at. */
const looks = 16;
/** Greys of a place over time: dark once in the beat is dark in the first, bright once in it is bright in the last. */
export const centiles = [0.2, 0.5, 0.8] as const;

export function gridOver({ width, height }: { readonly width: number; readonly height: number }): Grid {
  const cell = Math.max(width, height) / gridSide;
  return { x0: (width - gridSide * cell) / 2, y0: (height - gridSide * cell) / 2, cell };
}

/** What the network sees of a clip: three centiles over time (0 to 255) and how much of each place lies in the sector (0 to 1). */
export interface SeenOverTime {
  readonly grid: Grid;
  readonly greys: readonly Float32Array[];
  readonly inside: Float32Array;
}

export function seeOverTime(clip: WorkingClip): SeenOverTime {
  const grid = gridOver(clip);
  const { width, height, mask } = clip;
  const place = new Int32Array(width * height).fill(-1);
  const counts = new Float32Array(gridCells);
  const all = new Float32Array(gridCells);
  for (let y = 0; y < height; y += 1) {
    const row = Math.min(gridSide - 1, Math.floor((y + 0.5 - grid.y0) / grid.cell));
    for (let x = 0; x < width; x += 1) {
      const at = row * gridSide + Math.min(gridSide - 1, Math.floor((x + 0.5 - grid.x0) / grid.cell));
      all[at] = (all[at] as number) + 1;
      if (mask[y * width + x] !== 1) continue;
      place[y * width + x] = at;
      counts[at] = (counts[at] as number) + 1;
    }
  }
  const frames = spreadFrames(clip.frames, looks).map(({ values }) => {
    const sums = new Float64Array(gridCells);
    for (let n = 0; n < values.length; n += 1) {
      const at = place[n] as number;
      if (at >= 0) sums[at] = (sums[at] as number) + (values[n] as number);
    }
    return sums;
  });
  const greys = centiles.map(() => new Float32Array(gridCells));
  const column = new Float64Array(frames.length);
  for (let n = 0; n < gridCells; n += 1) {
    const count = counts[n] as number;
    if (count === 0) continue;
    frames.forEach((sums, k) => {
      column[k] = (sums[n] as number) / count;
    });
    column.sort();
    centiles.forEach((share, k) => {
      (greys[k] as Float32Array)[n] = column[Math.round(share * (column.length - 1))] as number;
    });
  }
  return { grid, greys, inside: counts.map((count, n) => count / Math.max(1, all[n] as number)) };
}

/**
 * Lays what is seen into the network's input: greys shifted and scaled together to mean 0 and spread 1 within the sector, so that gain
 * and brightness drop out, and the depth of each place.
 */
export function layInput(greys: readonly Float32Array[], inside: Float32Array, input: Float32Array): void {
  let [count, sum, squares] = [0, 0, 0];
  for (const grey of greys)
    for (let n = 0; n < gridCells; n += 1) {
      if ((inside[n] as number) < 0.3) continue;
      count += 1;
      sum += grey[n] as number;
      squares += (grey[n] as number) * (grey[n] as number);
    }
  const mean = count > 0 ? sum / count : 0;
  const spread = count > 0 ? Math.sqrt(Math.max(0, squares / count - mean * mean)) + 1 : 1;
  const shape = shapeOf(0);
  const [stride, plane] = [strideOf(shape), planeOf(shape)];
  input.fill(0);
  for (let y = 0; y < gridSide; y += 1)
    for (let x = 0; x < gridSide; x += 1) {
      const n = y * gridSide + x;
      if ((inside[n] as number) < 0.3) continue;
      const at = (y + 1) * stride + x + 1;
      greys.forEach((grey, k) => {
        input[k * plane + at] = ((grey[n] as number) - mean) / spread;
      });
      input[(inputChannels - 1) * plane + at] = 0.3 + (y + 0.5) / gridSide;
    }
}
