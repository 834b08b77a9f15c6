import type { Random } from '@chordae/phantom';
import { normalish } from '@chordae/phantom';
import { exactExp, exactPow } from '@chordae/units';
import { patchAngles, patchRadii } from '../src/learned/polar-patch';
import type { Pair } from './patch-course';

const curves = Array.from({ length: 23 }, (_, n) =>
  Float64Array.from(
    { length: 256 },
    (_v, level) => 255 * exactPow(Math.max(1e-4, level / 255), exactExp(0.05 * (n - 11))),
  ),
);

/**
 * Another machine's picture of both patches, in place: another grey curve, haze, a dark stripe along some directions, softer
 * speckle, more noise. Ranges were set once, before any training, not by what they gained.
 */
export function widened(pair: Pair, random: Random): void {
  const curve = curves[Math.floor(random() * curves.length)] as Float64Array;
  const haze = random() < 0.4 ? 0.25 * random() : 0;
  const stripe = random() < 0.25 ? Math.floor(random() * patchAngles) : -1;
  const dark = 0.3 + 0.5 * random();
  const noise = random() < 0.5 ? 8 * random() : 0;
  const soft = random() < 0.5 ? random() : 0;
  for (const plane of [pair.d, pair.s]) {
    for (let a = 0; a < patchAngles; a += 1) {
      const off = Math.min(
        (a - stripe + patchAngles) % patchAngles,
        (stripe - a + patchAngles) % patchAngles,
      );
      const factor = stripe >= 0 && off <= 1 ? dark : 1;
      for (let r = 0; r < patchRadii; r += 1) {
        const at = a * patchRadii + r;
        const v = curve[Math.max(0, Math.min(255, Math.round(plane[at] as number)))] as number;
        const more = noise > 0 ? noise * normalish(random) : 0;
        plane[at] = factor * (v + haze * (255 - v)) + more;
      }
    }
    if (soft > 0) soften(plane, soft);
  }
}

/** Blends with the mean of each place and its neighbours along the angle and the radius. */
function soften(plane: Float64Array, share: number): void {
  const before = plane.slice();
  for (let a = 0; a < patchAngles; a += 1)
    for (let r = 1; r < patchRadii - 1; r += 1) {
      const at = a * patchRadii + r;
      const left = ((a + patchAngles - 1) % patchAngles) * patchRadii + r;
      const right = ((a + 1) % patchAngles) * patchRadii + r;
      const mean =
        ((before[at] as number) * 2 +
          (before[at - 1] as number) +
          (before[at + 1] as number) +
          (before[left] as number) +
          (before[right] as number)) /
        6;
      plane[at] = (before[at] as number) + share * (mean - (before[at] as number));
    }
}
