import type { Random } from '@chordae/phantom';
import { normalish } from '@chordae/phantom';
import { exactCos, exactPow } from '@chordae/units';
import { patchAngles, patchRadii } from '../src/learned/polar-patch';
import type { Pair } from './patch-course';

const gammas = Array.from({ length: 9 }, (_, n) => {
  const gamma = 0.7 + 0.085 * n;
  return Float64Array.from({ length: 256 }, (_v, level) =>
    level === 0 ? 0 : 255 * exactPow(level / 255, gamma),
  );
});

const waves = Float64Array.from({ length: patchAngles }, (_, n) => exactCos((2 * Math.PI * n) / patchAngles));

/**
 * A pair of patches as another machine and another hand might have given them: left and right exchanged, turned a little, another
 * grey curve, one side darker, more noise.
 */
export function augmented(patch: Uint8Array, from: number, random: Random, out: Pair): void {
  const mirror = random() < 0.5;
  const turn = Math.floor(random() * 5) - 2;
  const curve = gammas[Math.floor(random() * gammas.length)] as Float64Array;
  const noise = random() < 0.5 ? 7 * random() : 0;
  const shade = 0.3 * random() * random();
  const side = Math.floor(random() * patchAngles);
  const plane = patchAngles * patchRadii;
  for (let a = 0; a < patchAngles; a += 1) {
    const mirrored = mirror ? (patchAngles / 2 - 1 - a + 2 * patchAngles) % patchAngles : a;
    const source = (mirrored + turn + patchAngles) % patchAngles;
    const bright = 1 + shade * (waves[(a + side) % patchAngles] as number);
    for (let r = 0; r < patchRadii; r += 1) {
      const at = from + source * patchRadii + r;
      const to = a * patchRadii + r;
      const more = noise === 0 ? 0 : noise * normalish(random);
      out.d[to] = (curve[patch[at] as number] as number) * bright + more;
      out.s[to] = (curve[patch[at + plane] as number] as number) * bright + more;
    }
  }
}
