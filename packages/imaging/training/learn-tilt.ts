import { tiltOutputs } from '../src/learned/short-axis-tilt';
import { augmented } from './augment';
import { learn } from './learn';
import { learning } from './recipe';
import type { Labels } from './samples';
import { patchBytes } from './samples';
import type { Loaded } from './sets';

/** Loss that is square near 0 and straight beyond: its slope. */
function slope(error: number, knee: number): number {
  return Math.max(-1, Math.min(1, error / knee));
}

/** Gradient of the loss at the four outputs; `out[1]` learns how large the tilt's error is without bending the tilt itself. */
export function lossGradient(out: Float64Array, labels: Labels): Float64Array {
  const error = (out[0] as number) - labels.tiltDeg / 45;
  const spread = 0.02 + (out[1] as number) * (out[1] as number);
  // Laplace likelihood: |e|/s + ln s.
  const dSpread = -Math.abs(error) / (spread * spread) + 1 / spread;
  return Float64Array.from([
    slope(error, 0.06),
    Math.max(-2, Math.min(2, 0.02 * dSpread)) * 2 * (out[1] as number) * 0.5,
    0.3 * slope((out[2] as number) - 2 * labels.septumFlat, 0.1),
    0.15 * slope((out[3] as number) - labels.rightToLeft, 0.1),
  ]);
}

/** Trains the tilt on all sets together. */
export function learnTilt(sets: readonly Loaded[], say: (line: string) => void): Float32Array {
  const lessons = sets.flatMap((loaded) =>
    loaded.labels.map((labels, n) => ({
      patches: loaded.patches,
      at: n * patchBytes,
      judge: (out: Float64Array) => ({
        gradient: lossGradient(out, labels),
        error: Math.abs(45 * (out[0] as number) - labels.tiltDeg),
      }),
    })),
  );
  return learn(lessons, { ...learning, outputs: tiltOutputs, augment: augmented }, say);
}
