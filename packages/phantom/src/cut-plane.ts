import { exactCos, exactSin } from '@chordae/units';
import type { Anatomy } from './anatomy';
import { rootAxes } from './heart';
import type { Vector } from './vectors';
import { cross, dot, plus, scaledBy, unit, vector } from './vectors';

/** A plane through the heart as the screen shows it. */
export interface CutPlane {
  /** What lies in the middle of the fan at the target depth, cm. */
  readonly target: Vector;
  readonly right: Vector;
  readonly down: Vector;
  readonly normal: Vector;
  /** Depth of the target below the skin, and of the whole picture, cm. */
  readonly targetDepth: number;
  readonly depth: number;
  readonly chest: number;
}

/** Turns a plane about a line in itself; azimuth 0 tips the normal to the right of the picture, 90 downwards. */
export function tilted(plane: CutPlane, tiltDeg: number, azimuthDeg: number): CutPlane {
  const rad = Math.PI / 180;
  const [ca, sa] = [exactCos(azimuthDeg * rad), exactSin(azimuthDeg * rad)];
  const [ct, st] = [exactCos(tiltDeg * rad), exactSin(tiltDeg * rad)];
  const toward = plus(scaledBy(plane.right, ca), plane.down, sa);
  const axis = cross(plane.normal, toward);
  const turn = (v: Vector): Vector =>
    plus(plus(scaledBy(v, ct), cross(axis, v), st), axis, dot(axis, v) * (1 - ct));
  return { ...plane, right: turn(plane.right), down: turn(plane.down), normal: turn(plane.normal) };
}

const shortRight = vector(1, 0, 0);
const shortDown = vector(0, 1, 0);

function chestOf(anatomy: Anatomy): number {
  return 0.32 * anatomy.unit + 0.3;
}

/** Where the heart's surface lies towards the right chest, cm from the axis (negative d). */
function topOfHeart(anatomy: Anatomy): number {
  const { rightVentricle, rightWall, size } = anatomy;
  return (
    rightVentricle.at.d -
    rightVentricle.radii.d -
    rightWall -
    size.effusionCm -
    size.pleuralCm -
    0.06 * anatomy.unit
  );
}

/** Short axis square to the ventricle's long axis; `level` is the height as part of the half length (0 papillary). */
export function shortAxisPlane(anatomy: Anatomy, level: number): CutPlane {
  const { radius, size, halfLength, unit: u } = anatomy;
  const chest = chestOf(anatomy);
  const targetDepth = chest - topOfHeart(anatomy);
  const below = (radius + size.freeWallDCm) * 1.16 + size.effusionCm + size.pleuralCm + 0.42 * u;
  return {
    target: vector(0, 0, level * halfLength),
    right: shortRight,
    down: shortDown,
    normal: vector(0, 0, 1),
    targetDepth,
    depth: targetDepth + below,
    chest,
  };
}

/** Short axis square to the aortic root, through its cusps; `level` counts in root radii above the ring. */
export function aorticPlane(anatomy: Anatomy, level: number): CutPlane {
  const { aorta, unit: u, leftAtrium } = anatomy;
  const axes = rootAxes(anatomy);
  const chest = chestOf(anatomy);
  const target = plus(aorta.at, axes.a, level * aorta.radius);
  const top = Math.min(topOfHeart(anatomy), aorta.at.d - aorta.radius - 1.1 * u);
  const targetDepth = chest + target.d - top;
  const bottom = leftAtrium.at.d + leftAtrium.radii.d + anatomy.size.effusionCm + anatomy.size.pleuralCm;
  return {
    target,
    right: axes.p,
    down: axes.q,
    normal: axes.a,
    targetDepth,
    depth: targetDepth + bottom - target.d + 0.4 * u,
    chest,
  };
}

/** Long axis seen from the right chest through the apex and a point of the base: apex left, base right. */
export function longAxisPlane(anatomy: Anatomy, through: Vector): CutPlane {
  const { halfLength, radius, size, unit: u, leftAtrium } = anatomy;
  const chest = chestOf(anatomy);
  const apex = vector(0, 0, -halfLength);
  const along = unit(vector(through.r - apex.r, 0, through.w - apex.w));
  const targetDepth = chest - topOfHeart(anatomy) + 0.12 * u;
  const below =
    Math.max(radius + size.freeWallDCm, leftAtrium.at.d + leftAtrium.radii.d) +
    size.effusionCm +
    size.pleuralCm +
    0.6 * u;
  return {
    target: plus(apex, along, halfLength + 0.12 * u),
    right: along,
    down: shortDown,
    normal: cross(along, shortDown),
    targetDepth,
    depth: targetDepth + below,
    chest,
  };
}
