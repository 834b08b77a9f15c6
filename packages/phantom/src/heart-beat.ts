import { cosine, halfTurn } from './plain-math';

/** Part of the beat at which the cavity is smallest. */
export const systoleEnds = 0.36;

function ramp(from: number, to: number, at: number): number {
  if (at <= from) return 0;
  if (at >= to) return 1;
  return (1 - cosine((halfTurn * (at - from)) / (to - from))) / 2;
}

/** How far the ventricle is contracted, 0 at the R wave, 1 at end systole: ejection, early filling, rest, atrial kick. */
export function contraction(phase: number): number {
  const at = phase - Math.floor(phase);
  if (at <= systoleEnds) return ramp(0, systoleEnds, at);
  return 1 - 0.78 * ramp(systoleEnds, 0.6, at) - 0.22 * ramp(0.84, 1, at);
}

/** How far the mitral leaflets stand open, 0 shut: early filling wide, nearly shut at rest, again at the atrial kick. */
export function mitralOpening(phase: number): number {
  const at = phase - Math.floor(phase);
  const early = ramp(0.38, 0.46, at) * (1 - 0.75 * ramp(0.52, 0.66, at));
  return early + 0.5 * ramp(0.8, 0.88, at) - (early + 0.5) * ramp(0.92, 1, at) * (at > 0.8 ? 1 : 0);
}
