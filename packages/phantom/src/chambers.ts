import type { Anatomy } from './anatomy';
import { fromEllipsoid, fromTube, softMin } from './distances';
import type { Moment } from './heart-beat';
import { vector } from './vectors';

/** Spaces that hold blood. The right ventricle counts its outlet in, up to the pulmonary artery's fork. */
export const chambers = [
  'left-ventricle',
  'right-ventricle',
  'left-atrium',
  'right-atrium',
  'aortic-root',
] as const;
export type Chamber = (typeof chambers)[number];

/** Radius of the aortic root at a height above its ring: the sinuses bulge a little. */
export function rootRadius(along: number, radius: number): number {
  const x = along / radius;
  const bulge = x < 1.1 ? 0.93 + 0.48 * (x / 1.1) * (1 - x / 1.1) : 0.93 + 0.03 * Math.min(1, x - 1.1);
  return radius * bulge;
}

/** Left atrium and its auricle, ended above by the septum between the atria: distance to their inside, cm, negative within. */
export function atriumGap(anatomy: Anatomy, moment: Moment): (r: number, d: number, w: number) => number {
  const { unit: u, leftAtrium, auricle, atrialSeptum } = anatomy;
  const full = 1 + 0.07 * moment.contraction - 0.04 * moment.mitral;
  const chamber = {
    at: leftAtrium.at,
    radii: vector(leftAtrium.radii.r * full, leftAtrium.radii.d * full, leftAtrium.radii.w * full),
  };
  return (r, d, w) => {
    const body = fromEllipsoid(r, d, w, chamber);
    const ear = fromEllipsoid(r, d, w, auricle);
    const inside = softMin(body, ear, 0.18 * u);
    const above = atrialSeptum + 0.05 * (r / u) * u - d;
    return Math.max(inside, above);
  };
}

/** Right heart: writes the distances to the insides of outflow, ventricle, pulmonary branches and atrium, cm, negative within. */
export function rightGaps(
  anatomy: Anatomy,
  moment: Moment,
): (r: number, d: number, w: number, gaps: Float64Array) => void {
  const { unit: u, base, outflow, branches, rightAtrium } = anatomy;
  const thinner = 1 - 0.1 * moment.contraction;
  const body = {
    at: anatomy.rightVentricle.at,
    radii: vector(
      anatomy.rightVentricle.radii.r,
      anatomy.rightVentricle.radii.d * thinner,
      anatomy.rightVentricle.radii.w,
    ),
  };
  const top = base + 0.16 * u;
  // The right ventricle does not go round to the free wall.
  const reach = 0.35 * anatomy.radius;
  return (r, d, w, gaps) => {
    gaps[0] = fromTube(r, d, w, outflow);
    gaps[1] = Math.max(fromEllipsoid(r, d, w, body), w - top, d - reach);
    let fork = 9;
    if (w > base + 0.5 * u) for (const branch of branches) fork = Math.min(fork, fromTube(r, d, w, branch));
    gaps[2] = fork;
    gaps[3] = Math.max(fromEllipsoid(r, d, w, rightAtrium), base + 0.1 * u - w);
  };
}
