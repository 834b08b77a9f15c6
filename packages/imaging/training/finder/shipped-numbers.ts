import { cavityNumbers } from '../../src/learned/finder/cavity-numbers';
import { chambersNumbers } from '../../src/learned/finder/chambers-numbers';
import type { ShippedFinder } from '../../src/learned/finder/numbers';
import { rootNumbers } from '../../src/learned/finder/root-numbers';
import type { FinderName } from './recipe';

/** What is shipped of each finder. */
export function shippedNumbers(name: FinderName): ShippedFinder {
  return { cavity: cavityNumbers, root: rootNumbers, chambers: chambersNumbers }[name];
}
