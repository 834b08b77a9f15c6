import type { Plane } from '../picture/plane';
import type { WorkingClip } from '../picture/working';

/** Frames as short vectors (about 40 by 30 cells of the sector), mean and slope over time taken out of every cell. */
export function motionVectors(clip: WorkingClip): Float32Array[] {
  const cells = Math.max(1, Math.floor(clip.width / 40));
  const columns = Math.max(1, Math.floor(clip.width / cells));
  const rows = Math.max(1, Math.floor(clip.height / cells));
  const vectors = clip.frames.map((plane) => cellMeans(plane, cells, columns, rows));
  const keep: number[] = [];
  for (let n = 0; n < columns * rows; n += 1) {
    const x = Math.floor(((n % columns) + 0.5) * cells);
    const y = Math.floor((Math.floor(n / columns) + 0.5) * cells);
    if (clip.mask[y * clip.width + x] === 1) keep.push(n);
  }
  const out = vectors.map(() => new Float32Array(keep.length));
  const count = vectors.length;
  const middle = (count - 1) / 2;
  let kk = 0;
  for (let k = 0; k < count; k += 1) kk += (k - middle) * (k - middle);
  keep.forEach((cell, n) => {
    let mean = 0;
    let slope = 0;
    for (let k = 0; k < count; k += 1) mean += (vectors[k] as Float32Array)[cell] as number;
    mean /= count;
    for (let k = 0; k < count; k += 1)
      slope += (k - middle) * (((vectors[k] as Float32Array)[cell] as number) - mean);
    // Breathing shows as a drift only in clips of some length; in short ones the slope would be the beat itself.
    slope = count > 24 && kk > 0 ? slope / kk : 0;
    for (let k = 0; k < count; k += 1)
      (out[k] as Float32Array)[n] =
        ((vectors[k] as Float32Array)[cell] as number) - mean - slope * (k - middle);
  });
  return out;
}

function cellMeans({ values, width }: Plane, cells: number, columns: number, rows: number): Float32Array {
  const out = new Float32Array(columns * rows);
  for (let y = 0; y < rows * cells; y += 1)
    for (let x = 0; x < columns * cells; x += 1) {
      const n = Math.floor(y / cells) * columns + Math.floor(x / cells);
      out[n] = (out[n] as number) + (values[y * width + x] as number) / (cells * cells);
    }
  return out;
}

/** Mean squared difference of two frames. */
export function difference(a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let n = 0; n < a.length; n += 1) {
    const d = (a[n] as number) - (b[n] as number);
    sum += d * d;
  }
  return sum / Math.max(1, a.length);
}
