import type { Random } from '@chordae/phantom';
import { normalish } from '@chordae/phantom';
import { patchAngles, patchRadii } from '../src/learned/polar-patch';
import type { Pair } from './patch-course';

/** A pair as another machine might have given it: mirrored now and then, shifted by a cell, another brightness, noise. */
export function augmentedView(patches: Uint8Array, at: number, random: Random, pair: Pair): void {
  const mirror = random() < 0.25;
  const [across, down] = [Math.floor(random() * 3) - 1, Math.floor(random() * 3) - 1];
  const gain = 0.8 + 0.4 * random();
  const lift = 20 * (random() - 0.5);
  const movement = 0.7 + 0.6 * random();
  const noise = random() < 0.5 ? 8 * random() : 0;
  const plane = patchAngles * patchRadii;
  for (let a = 0; a < patchAngles; a += 1) {
    const side = Math.max(0, Math.min(patchAngles - 1, (mirror ? patchAngles - 1 - a : a) + across));
    for (let r = 0; r < patchRadii; r += 1) {
      const from = at + side * patchRadii + Math.max(0, Math.min(patchRadii - 1, r + down));
      const more = noise === 0 ? 0 : noise * normalish(random);
      pair.d[a * patchRadii + r] = (patches[from] as number) * gain + lift + more;
      pair.s[a * patchRadii + r] = (patches[from + plane] as number) * movement;
    }
  }
}
