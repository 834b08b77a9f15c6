import type { WorkingClip } from '../../picture/working';
import { layInput, seeOverTime } from './grid';
import { finderBuffers, gridSide, runFinder } from './network';
import type { ShippedFinder } from './numbers';
import { finderNumbers } from './numbers';
import type { FoundSpace } from './read-map';
import { readSpace } from './read-map';

const decoded = new Map<ShippedFinder, Float32Array>();
let buffers: Float32Array[] | null = null;

function outputsFor(
  values: readonly Float32Array[],
  greys: readonly Float32Array[],
  inside: Float32Array,
  numbers: Float32Array,
  outputs: number,
): Float32Array {
  layInput(greys, inside, values[0] as Float32Array);
  return runFinder(values, numbers, outputs);
}

/** Squares of the grid, one or several behind one another, with left and right exchanged. */
function flipped(squares: Float32Array): Float32Array {
  const out = squares.slice();
  for (let row = 0; row < out.length; row += gridSide) out.subarray(row, row + gridSide).reverse();
  return out;
}

/** Runs a finder over a clip: one space, or null, for each of its maps. Working pixels. */
export function findSpaces(clip: WorkingClip, finder: ShippedFinder): (FoundSpace | null)[] {
  let numbers = decoded.get(finder);
  if (!numbers) {
    numbers = finderNumbers(finder);
    decoded.set(finder, numbers);
  }
  buffers ??= finderBuffers();
  const { grid, greys, inside } = seeOverTime(clip);
  const plain = outputsFor(buffers, greys, inside, numbers, finder.outputs);
  const other = outputsFor(buffers, greys.map(flipped), flipped(inside), numbers, finder.outputs);
  // Both ways round, and the mean of both: a mirrored picture is found mirrored.
  const back = flipped(other);
  const raw = plain.map((v, n) => (v + (back[n] as number)) / 2);
  return Array.from({ length: finder.outputs }, (_, map) => readSpace(raw, map, grid));
}
