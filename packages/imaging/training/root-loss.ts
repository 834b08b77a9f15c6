import type { Loss } from './patch-course';
import { slope } from './tilt-loss';

/** Loss against tilt (degrees) and lean (to the right, downwards); the second output learns the size of the tilt's error. */
export function rootLoss(out: Float64Array, labels: Float32Array, at: number): Loss {
  const error = (out[0] as number) - (labels[at] as number) / 45;
  const root = out[1] as number;
  const spread = 0.02 + root * root;
  const dSpread = -Math.abs(error) / (spread * spread) + 1 / spread;
  return {
    gradient: Float64Array.from([
      slope(error, 0.06),
      Math.max(-2, Math.min(2, 0.02 * dSpread)) * root,
      0.5 * slope((out[2] as number) - (labels[at + 1] as number), 0.15),
      0.5 * slope((out[3] as number) - (labels[at + 2] as number), 0.15),
    ]),
    error: Math.abs(45 * error),
  };
}
