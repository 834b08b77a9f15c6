import type { Random } from './random';
import { normalish } from './random';

/** Edge of the periodic block of scatterers. */
const block = 64;

/** Speckle fixed in the tissue: a periodic block of complex scatterer sums, real and imaginary side by side. */
export type Speckle = Float32Array;

export function makeSpeckle(random: Random): Speckle {
  const speckle = new Float32Array(2 * block * block * block);
  for (let n = 0; n < speckle.length; n += 1) speckle[n] = normalish(random);
  return speckle;
}

/** Trilinear look-up in the block of scatterers. */
export function lookUp(speckle: Speckle, x: number, y: number, z: number, found: Float64Array): void {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const z0 = Math.floor(z);
  const fx = x - x0;
  const fy = y - y0;
  const fz = z - z0;
  const m = block - 1;
  const xa = (x0 & m) * 2;
  const xb = ((x0 + 1) & m) * 2;
  const ya = (y0 & m) * (2 * block);
  const yb = ((y0 + 1) & m) * (2 * block);
  const za = (z0 & m) * (2 * block * block);
  const zb = ((z0 + 1) & m) * (2 * block * block);
  const w00 = (1 - fy) * (1 - fz);
  const w10 = fy * (1 - fz);
  const w01 = (1 - fy) * fz;
  const w11 = fy * fz;
  for (let k = 0; k < 2; k += 1) {
    const left =
      w00 * (speckle[xa + ya + za + k] as number) +
      w10 * (speckle[xa + yb + za + k] as number) +
      w01 * (speckle[xa + ya + zb + k] as number) +
      w11 * (speckle[xa + yb + zb + k] as number);
    const rightSide =
      w00 * (speckle[xb + ya + za + k] as number) +
      w10 * (speckle[xb + yb + za + k] as number) +
      w01 * (speckle[xb + ya + zb + k] as number) +
      w11 * (speckle[xb + yb + zb + k] as number);
    found[k] = left * (1 - fx) + rightSide * fx;
  }
}
