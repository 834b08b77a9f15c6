import { centiles, gridCells, layInput } from '../../src/learned/finder/grid';
import { finderBuffers, runFinder } from '../../src/learned/finder/network';
import { readSpace } from '../../src/learned/finder/read-map';
import type { FinderRecipe } from './recipe';
import type { FinderLabels } from './samples';
import { finderSampleBytes, seenPlanes } from './samples';

export interface JudgedMap {
  readonly heart: string;
  readonly tiltDeg: number;
  /** Overlap of the found piece with the true places on the grid, 2 |A ∩ B| by |A| + |B|. */
  readonly overlap: number;
  /** Distance of the middles by the true radius. */
  readonly off: number;
  readonly sureness: number;
}

/** What a finder says of a set, map by map. */
export function judgedMaps(
  recipe: FinderRecipe,
  samples: Uint8Array,
  labels: readonly FinderLabels[],
  numbers: Float32Array,
): JudgedMap[][] {
  const buffers = finderBuffers();
  const size = finderSampleBytes(recipe);
  const outputs = recipe.maps.length;
  const grid = { x0: 0, y0: 0, cell: 1 };
  const out: JudgedMap[][] = recipe.maps.map(() => []);
  labels.forEach(({ heart, tiltDeg }, n) => {
    const plane = (k: number): Uint8Array =>
      samples.subarray(n * size + k * gridCells, n * size + (k + 1) * gridCells);
    const greys = centiles.map((_, k) => Float32Array.from(plane(k)));
    layInput(
      greys,
      Float32Array.from(plane(centiles.length), (v) => v / 255),
      buffers[0] as Float32Array,
    );
    const raw = runFinder(buffers, numbers, outputs);
    for (let m = 0; m < outputs; m += 1) {
      const truth = plane(seenPlanes + m);
      let [sum, x, y] = [0, 0, 0];
      truth.forEach((v, at) => {
        sum += v / 255;
        x += (v / 255) * ((at % 48) + 0.5);
        y += (v / 255) * (Math.floor(at / 48) + 0.5);
      });
      if (sum < 4) continue;
      const found = readSpace(raw, m, grid);
      let [both, all] = [0, sum];
      found?.piece.forEach((v, at) => {
        both += v * ((truth[at] as number) / 255);
        all += v;
      });
      const off = found
        ? Math.hypot(found.ellipse.cx - x / sum, found.ellipse.cy - y / sum) / Math.sqrt(sum / Math.PI)
        : 9;
      (out[m] as JudgedMap[]).push({
        heart,
        tiltDeg,
        overlap: (2 * both) / all,
        off,
        sureness: found?.sureness ?? 0,
      });
    }
  });
  return out;
}
