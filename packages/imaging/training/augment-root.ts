import type { Random } from '@chordae/phantom';
import { exactCos, exactSin } from '@chordae/units';
import { patchAngles, patchRadii } from '../src/learned/polar-patch';
import type { Pair } from './patch-course';
import { widened } from './widened';

/** A root as another hand might have shown it: left and right exchanged, turned a little, then `widened`. Its lean turns with it. */
export function augmentedRoot(
  patches: Uint8Array,
  from: number,
  random: Random,
  out: Pair,
  labels: Float32Array,
): Float32Array {
  const mirror = random() < 0.5;
  const turn = Math.floor(random() * 5) - 2;
  const plane = patchAngles * patchRadii;
  for (let a = 0; a < patchAngles; a += 1) {
    const turned = (a - turn + patchAngles) % patchAngles;
    const source = mirror ? (patchAngles / 2 - 1 - turned + 2 * patchAngles) % patchAngles : turned;
    for (let r = 0; r < patchRadii; r += 1) {
      out.d[a * patchRadii + r] = patches[from + source * patchRadii + r] as number;
      out.s[a * patchRadii + r] = patches[from + plane + source * patchRadii + r] as number;
    }
  }
  widened(out, random);
  const x = (mirror ? -1 : 1) * (labels[1] as number);
  const y = labels[2] as number;
  const angle = (2 * Math.PI * turn) / patchAngles;
  const [c, s] = [exactCos(angle), exactSin(angle)];
  return Float32Array.of(labels[0] as number, c * x - s * y, s * x + c * y);
}
