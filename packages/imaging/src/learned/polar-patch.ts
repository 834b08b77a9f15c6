import { exactCos, exactSin } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';

/** Size of a patch: angles round the ventricle, radii from its middle to `reach` times its mean radius. */
export const patchAngles = 48;
export const patchRadii = 32;
export const patchReach = 2.6;

/** Where the ventricle lies at end diastole, pixels. */
export interface VentriclePlace {
  readonly x: number;
  readonly y: number;
  /** Mean radius of the cavity. */
  readonly radiusPx: number;
}

const parts = 4;
/** Unit vectors, four to an angle of the patch. */
export const directions = Array.from({ length: patchAngles * parts }, (_, n) => {
  const angle = (2 * Math.PI * (n + 0.5)) / (patchAngles * parts);
  return { cos: exactCos(angle), sin: exactSin(angle) };
});

/** Brightness at a place of a picture, between pixel middles; 0 outside it. */
export function brightnessAt(frame: GrayFrame, x: number, y: number): number {
  const { widthPx, heightPx, luma } = frame;
  const px = x - 0.5;
  const py = y - 0.5;
  const x0 = Math.floor(px);
  const y0 = Math.floor(py);
  if (x0 < 0 || y0 < 0 || x0 + 1 >= widthPx || y0 + 1 >= heightPx) return 0;
  const fx = px - x0;
  const fy = py - y0;
  const at = y0 * widthPx + x0;
  const top = (luma[at] as number) * (1 - fx) + (luma[at + 1] as number) * fx;
  const bottom = (luma[at + widthPx] as number) * (1 - fx) + (luma[at + widthPx + 1] as number) * fx;
  return top * (1 - fy) + bottom * fy;
}

/**
 * One frame round the ventricle as angles × radii, brightness 0-255; angle 0 points right in the picture, then downwards. Each
 * value is a mean over its cell, as finely as the picture's pixels ask for.
 */
export function polarPatch(frame: GrayFrame, place: VentriclePlace): Float64Array {
  const out = new Float64Array(patchAngles * patchRadii);
  const cell = (patchReach * place.radiusPx) / patchRadii;
  const fine = Math.max(1, Math.min(4, Math.ceil(cell / 1.5)));
  // Neighbouring directions lie far apart only at the rim; four to a cell at most.
  const turns = fine === 1 ? 1 : fine === 2 ? 2 : parts;
  for (let a = 0; a < patchAngles; a += 1)
    for (let r = 0; r < patchRadii; r += 1) {
      let sum = 0;
      for (let k = 0; k < turns; k += 1) {
        const index = a * parts + (turns === 1 ? 1 : turns === 2 ? 1 + 2 * k : k);
        const { cos, sin } = directions[index] as { cos: number; sin: number };
        for (let m = 0; m < fine; m += 1) {
          const radius = (r + (m + 0.5) / fine) * cell;
          sum += brightnessAt(frame, place.x + radius * cos, place.y + radius * sin);
        }
      }
      out[a * patchRadii + r] = sum / (turns * fine);
    }
  return out;
}

/** Shifts and scales a pair of patches together to mean 0 and standard deviation 1: gain and brightness drop out. */
export function levelled(diastole: Float64Array, systole: Float64Array): Float64Array {
  const count = diastole.length + systole.length;
  const out = new Float64Array(count);
  out.set(diastole);
  out.set(systole, diastole.length);
  let sum = 0;
  for (const value of out) sum += value;
  const mean = sum / count;
  let squares = 0;
  for (const value of out) squares += (value - mean) * (value - mean);
  const spread = Math.sqrt(squares / count) + 1;
  for (let n = 0; n < count; n += 1) out[n] = ((out[n] as number) - mean) / spread;
  return out;
}
