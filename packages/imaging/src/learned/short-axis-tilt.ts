import type { GrayFrame } from '../gray-frame';
import { decodedNumbers } from './decoded-numbers';
import { networkSize, runNetwork } from './network';
import type { VentriclePlace } from './polar-patch';
import { levelled, polarPatch } from './polar-patch';
import { weightScales, weightsBase64 } from './short-axis-weights';

/** What the learned model says of a short axis at papillary level. A hint, made on computed clips only. */
export interface LearnedTilt {
  /** Tilt of the cut against the ventricle's long axis, degrees, 0 to 60. */
  readonly tiltDeg: number;
  /** Expected size of the error, degrees, as the model judges it. */
  readonly errorDeg: number;
  /** How far the septum is pushed in at end diastole, part of the radius; 0 round. */
  readonly septumFlat: number;
  /** Width of the right ventricle against the left one's diameter. */
  readonly rightToLeft: number;
}

/** Tilt / 45°, spread of the tilt, flatness of the septum, right ventricle against the left. */
export const tiltOutputs = 4;

let numbers: Float64Array | null = null;

const clamp = (value: number, low: number, high: number): number => Math.max(low, Math.min(high, value));

/** Reads the four raw outputs of the network. */
export function readOutputs(raw: Float64Array): LearnedTilt {
  const spread = raw[1] as number;
  return {
    tiltDeg: clamp(45 * (raw[0] as number), 0, 60),
    errorDeg: clamp(45 * (0.02 + spread * spread), 0, 45),
    septumFlat: clamp(0.5 * (raw[2] as number), 0, 1),
    rightToLeft: clamp(raw[3] as number, 0, 3),
  };
}

/**
 * Estimates the tilt of a short axis from the frames of end diastole and end systole and the place of the cavity at end diastole
 * (`x`, `y`, `radiusPx`: middle and mean radius, pixels). null where the radius is no radius or the place lies outside the
 * picture. Bit for bit the same in every engine.
 */
export function learnedShortAxisTilt(
  diastole: GrayFrame,
  systole: GrayFrame,
  place: VentriclePlace,
): LearnedTilt | null {
  const { x, y, radiusPx } = place;
  const { widthPx, heightPx } = diastole;
  if (!(radiusPx >= 2 && radiusPx < 8192) || !(x > 0 && y > 0 && x < widthPx && y < heightPx)) return null;
  if (systole.widthPx !== widthPx || systole.heightPx !== heightPx) return null;
  const input = levelled(polarPatch(diastole, place), polarPatch(systole, place));
  numbers ??= decodedNumbers(weightsBase64, weightScales, networkSize(tiltOutputs));
  return readOutputs(runNetwork(input, numbers, tiltOutputs));
}
