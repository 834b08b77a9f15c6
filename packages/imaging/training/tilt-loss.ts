import type { Loss } from './patch-course';

/** Slope of a loss that is square near 0 and straight beyond. */
export function slope(error: number, knee: number): number {
  return Math.max(-1, Math.min(1, error / knee));
}

/**
 * Loss of the four outputs against tilt (degrees), flatness of the septum, right by left ventricle. The second output learns how
 * large the tilt's error is (Laplace likelihood, |e|/s + ln s) without bending the tilt itself.
 */
export function tiltLoss(out: Float64Array, labels: Float32Array, at: number): Loss {
  const tiltDeg = labels[at] as number;
  const error = (out[0] as number) - tiltDeg / 45;
  const root = out[1] as number;
  const spread = 0.02 + root * root;
  const dSpread = -Math.abs(error) / (spread * spread) + 1 / spread;
  return {
    gradient: Float64Array.from([
      slope(error, 0.06),
      Math.max(-2, Math.min(2, 0.02 * dSpread)) * root,
      0.3 * slope((out[2] as number) - 2 * (labels[at + 1] as number), 0.1),
      0.15 * slope((out[3] as number) - (labels[at + 2] as number), 0.1),
    ]),
    error: Math.abs(45 * error),
  };
}
