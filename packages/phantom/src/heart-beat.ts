import { exactCos } from '@chordae/units';

/** Smooth step from 0 to 1 between two moments: half a cosine wave. */
function ramp(from: number, to: number, at: number): number {
  if (at <= from) return 0;
  if (at >= to) return 1;
  return (1 - exactCos((Math.PI * (at - from)) / (to - from))) / 2;
}

/** Part of the beat at which the cavity is smallest: systole takes more of a fast beat (common practice). */
export function systoleEnds(heartRate: number): number {
  return Math.min(0.48, Math.max(0.3, 0.28 + 0.0008 * heartRate));
}

/** Where a heart stands in its beat. All go from 0 to 1. */
export interface Moment {
  /** How far the ventricle is contracted: 0 at the R wave, 1 at end systole. */
  readonly contraction: number;
  /** How far the mitral leaflets stand open, and the aortic cusps. */
  readonly mitral: number;
  readonly aortic: number;
}

/** Ejection, early filling, rest, atrial kick. `phase` is the part of the beat since the R wave. */
export function momentAt(phase: number, endSystole: number): Moment {
  const at = phase - Math.floor(phase);
  const rest = (part: number): number => endSystole + part * (1 - endSystole);
  const contraction =
    at <= endSystole
      ? ramp(0, endSystole, at)
      : 1 - 0.76 * ramp(endSystole, rest(0.42), at) - 0.24 * ramp(rest(0.76), 1, at);
  const early = ramp(rest(0.04), rest(0.14), at) * (1 - 0.72 * ramp(rest(0.28), rest(0.5), at));
  const kick = 0.5 * ramp(rest(0.7), rest(0.8), at);
  const mitral = (early + kick) * (1 - ramp(rest(0.9), 1, at));
  const aortic = ramp(0.06, 0.1, at) * (1 - ramp(endSystole - 0.05, endSystole, at));
  return { contraction, mitral, aortic };
}

/** How far the ventricle is contracted, 0 at the R wave, 1 at end systole. */
export function contraction(phase: number, heartRate: number): number {
  return momentAt(phase, systoleEnds(heartRate)).contraction;
}
