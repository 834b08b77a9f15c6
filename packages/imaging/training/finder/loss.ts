import { gridCells } from '../../src/learned/finder/grid';
import { likelihoods } from '../../src/learned/finder/read-map';

/**
 * Loss of raw maps against true ones: cross entropy of each place and, so that small spaces count as much as large ones, one less the
 * overlap (2 |A ∩ B| by |A| + |B|) of each map. Fills `gradient` and gives the mean of one less the overlap.
 */
export function finderLoss(raw: Float32Array, maps: readonly Float32Array[], gradient: Float32Array): number {
  let lost = 0;
  maps.forEach((truth, m) => {
    const said = likelihoods(raw, m);
    let [both, sum] = [0, 0];
    for (let n = 0; n < gridCells; n += 1) {
      both += (said[n] as number) * (truth[n] as number);
      sum += (said[n] as number) + (truth[n] as number);
    }
    const [top, bottom] = [2 * both + 4, sum + 4];
    lost += 1 - top / bottom;
    for (let n = 0; n < gridCells; n += 1) {
      const p = said[n] as number;
      const t = truth[n] as number;
      const dOverlap = -(2 * t * bottom - top) / (bottom * bottom);
      gradient[m * gridCells + n] = ((p - t) / 300 + dOverlap * p * (1 - p)) / maps.length;
    }
  });
  return lost / maps.length;
}
