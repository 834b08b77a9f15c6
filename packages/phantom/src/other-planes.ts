import type { Anatomy } from './anatomy';
import type { CutPlane } from './cut-plane';
import { aorticPlane } from './cut-plane';
import type { Vector } from './vectors';
import { cross, dot, plus, unit, vector } from './vectors';

/** A plane through a target, looking along `down`, with `right` turned square to it. */
function planeAlong(
  target: Vector,
  down: Vector,
  rightWish: Vector,
  targetDepth: number,
  depth: number,
  chest: number,
): CutPlane {
  const d = unit(down);
  const right = unit(plus(rightWish, d, -dot(rightWish, d)));
  return { target, right, down: d, normal: cross(right, d), targetDepth, depth, chest };
}

/** Left apical: the beam runs up the ventricle from its apex; left heart on the right of the picture. */
export function apicalPlane(anatomy: Anatomy, through: Vector): CutPlane {
  const { halfLength, size, unit: u, base, leftAtrium } = anatomy;
  const chest = 0.3 * u + 0.25;
  const apex = vector(0, 0, -halfLength);
  const near = chest + 0.75 * size.freeWallDCm + size.effusionCm + size.pleuralCm + 0.15 * u;
  const length = base + halfLength;
  const up = plus(through, apex, -1);
  return planeAlong(
    plus(apex, unit(up), length),
    vector(up.r, up.d * 0.3, up.w),
    vector(0, 1, 0),
    near + length,
    near + leftAtrium.at.w + leftAtrium.radii.w + halfLength + 0.3 * u + size.effusionCm + size.pleuralCm,
    chest,
  );
}

/** Short axis high at the base: main pulmonary artery and its fork beside the aorta. */
export function pulmonaryPlane(anatomy: Anatomy): CutPlane {
  const plane = aorticPlane(anatomy, 0.9);
  const [, , valve, fork] = anatomy.outflow.points as readonly Vector[] as readonly [
    Vector,
    Vector,
    Vector,
    Vector,
  ];
  const branch = anatomy.branches[0]?.points[1] ?? fork;
  const normal = unit(cross(plus(branch, fork, -1), plus(valve, fork, -1)));
  const side = normal.w < 0 ? -1 : 1;
  const n = vector(side * normal.r, side * normal.d, side * normal.w);
  const down = unit(plus(vector(0, 1, 0), n, -n.d));
  const along = dot(plus(valve, anatomy.aorta.at, -1), n) / dot(anatomy.aorta.axis, n);
  const target = plus(plus(anatomy.aorta.at, anatomy.aorta.axis, along), cross(down, n), 0.45 * anatomy.unit);
  return { ...plane, target, right: cross(down, n), down, normal: n };
}

/** Left cranial: base of the heart from the left side, towards the right atrium and its auricle. */
export function cranialBasePlane(anatomy: Anatomy): CutPlane {
  const { aorta, unit: u } = anatomy;
  const chest = 0.3 * u + 0.3;
  return planeAlong(
    plus(aorta.at, aorta.axis, 0.5 * aorta.radius),
    vector(-0.86, -0.5, 0.05),
    vector(0.1, -0.2, 1),
    chest + 1.9 * u,
    chest + 4.6 * u,
    chest,
  );
}

/** Subcostal: through the liver, along outlet and ascending aorta. */
export function subcostalPlane(anatomy: Anatomy): CutPlane {
  const { aorta, halfLength, base, unit: u } = anatomy;
  const chest = 1.3 * u;
  const length = halfLength + base;
  return planeAlong(
    aorta.at,
    plus(aorta.at, vector(-0.1 * u, -0.35 * u, -halfLength), -1),
    vector(0, 1, 0),
    chest + 0.3 * u + length,
    chest + length + 3.2 * u,
    chest,
  );
}

/** Horse, right side: right ventricle's inflow and outflow in one picture, the aorta between. */
export function rightInflowPlane(anatomy: Anatomy): CutPlane {
  const { rightAtrium, pulmonaryValve, aorta, unit: u } = anatomy;
  const across = unit(plus(pulmonaryValve, rightAtrium.at, -1));
  const chest = 0.32 * u + 0.3;
  const top = aorta.at.d - aorta.radius - 1.25 * u;
  return planeAlong(
    plus(aorta.at, aorta.axis, 0.2 * aorta.radius),
    vector(0, 1, 0.12),
    vector(across.r, 0, across.w),
    chest + aorta.at.d - top,
    chest + aorta.at.d - top + 2.2 * u,
    chest,
  );
}

/** Horse, left side: the long axis seen from the left, free wall and left atrium near the probe; base to the right. */
export function leftLongPlane(anatomy: Anatomy, through: Vector): CutPlane {
  const { halfLength, radius, size, unit: u, rightVentricle, leftAtrium } = anatomy;
  const chest = 0.32 * u + 0.3;
  const apex = vector(0, 0, -halfLength);
  const along = unit(vector(through.r - apex.r, 0, through.w - apex.w));
  const near =
    Math.max(radius + size.freeWallDCm, leftAtrium.at.d + leftAtrium.radii.d) +
    0.2 * u +
    size.effusionCm +
    size.pleuralCm;
  return planeAlong(
    plus(apex, along, halfLength + 0.35 * u),
    vector(0, -1, 0),
    along,
    chest + near,
    chest + near + rightVentricle.radii.d - rightVentricle.at.d + 0.4 * u,
    chest,
  );
}
