import type { WorkingClip } from '../picture/working';
import { difference } from './motion-vectors';

/**
 * First principal component over time of the frame vectors (power iteration on their Gram matrix), turned so that more dark pixels
 * mean a larger value: a stand-in for the cavity's area where no outline is traced. Null without movement.
 */
export function principalCurve(clip: WorkingClip, vectors: readonly Float32Array[]): number[] | null {
  const count = vectors.length;
  if (count < 6 || count > 400) return null;
  const gram = new Float64Array(count * count);
  for (let a = 0; a < count; a += 1)
    for (let b = a; b < count; b += 1) {
      const v = dot(vectors[a] as Float32Array, vectors[b] as Float32Array);
      gram[a * count + b] = v;
      gram[b * count + a] = v;
    }
  // Starts from how far each frame is from the first: never at right angles to a beat.
  let curve: Float64Array = Float64Array.from(vectors, (v) => difference(v, vectors[0] as Float32Array));
  const level0 = mean(curve);
  curve = unit(curve.map((v) => v - level0));
  for (let round = 0; round < 30; round += 1) {
    const next = new Float64Array(count);
    for (let a = 0; a < count; a += 1)
      for (let b = 0; b < count; b += 1)
        next[a] = (next[a] as number) + (gram[a * count + b] as number) * (curve[b] as number);
    curve = unit(next);
  }
  if (!curve.every((v) => Number.isFinite(v)) || curve.every((v) => v === 0)) return null;
  const dark = darkCounts(clip);
  const level = mean(dark);
  let together = 0;
  for (let n = 0; n < count; n += 1) together += (curve[n] as number) * ((dark[n] as number) - level);
  return Array.from(curve, (v) => (together < 0 ? -v : v));
}

function dot(a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let n = 0; n < a.length; n += 1) sum += (a[n] as number) * (b[n] as number);
  return sum;
}

function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let n = 0; n < values.length; n += 1) sum += values[n] as number;
  return sum / Math.max(1, values.length);
}

function unit(v: Float64Array): Float64Array {
  let sum = 0;
  for (const x of v) sum += x * x;
  const length = Math.sqrt(sum);
  return length > 1e-12 ? v.map((x) => x / length) : v.map(() => 0);
}

function darkCounts(clip: WorkingClip): Float64Array {
  const level = 0.45 * clip.brightLimit;
  return Float64Array.from(clip.frames, ({ values }) => {
    let count = 0;
    for (let n = 0; n < values.length; n += 1)
      if (clip.mask[n] === 1 && (values[n] as number) < level) count += 1;
    return count;
  });
}
