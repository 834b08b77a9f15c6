import { exactCos, exactSin } from '@chordae/units';
import type { HeartSize } from './heart-size';
import type { Vector } from './vectors';
import { unit, vector } from './vectors';

/** How one heart differs from the plain one; defaults in `plainVariation`. */
export interface Variation {
  /** Radius of the ventricle against its half length (0.36 in a normal heart). */
  readonly slenderness: number;
  /** Degrees from straight down to each papillary muscle, and its size against the plain one. */
  readonly papillaryDeg: readonly [number, number];
  readonly papillarySize: readonly [number, number];
  /** Waves of the outline round the ventricle: part of the radius and place of the crest in degrees, for 2, 3 and 4 waves. */
  readonly harmonics: readonly { readonly size: number; readonly crestDeg: number }[];
  readonly rightVentricle: number;
  /** Turn of the right ventricle about the left one, degrees. */
  readonly rightTurnDeg: number;
  readonly aorta: number;
  readonly atrium: number;
}

export const plainVariation: Variation = {
  slenderness: 0.37,
  papillaryDeg: [46, 50],
  papillarySize: [1, 1],
  harmonics: [],
  rightVentricle: 1,
  rightTurnDeg: 0,
  aorta: 1,
  atrium: 1,
};

/** Ellipsoid along the axes of the heart. */
export interface Ellipsoid {
  readonly at: Vector;
  readonly radii: Vector;
}

/** Pieces of a tube with one radius. */
export interface Tube {
  readonly points: readonly Vector[];
  readonly radius: number;
}

/** The heart at end diastole, cm. The origin is the middle of the left ventricle's ellipsoid. */
export interface Anatomy {
  readonly unit: number;
  readonly size: HeartSize;
  readonly radius: number;
  readonly halfLength: number;
  /** Where the base cuts the ellipsoid. */
  readonly base: number;
  readonly baseRadius: number;
  readonly papillary: readonly { readonly cos: number; readonly sin: number; readonly radius: number }[];
  readonly harmonics: readonly { readonly waves: number; readonly cos: number; readonly sin: number }[];
  readonly aorta: { readonly at: Vector; readonly axis: Vector; readonly radius: number };
  readonly leftAtrium: Ellipsoid;
  readonly auricle: Ellipsoid;
  readonly rightAtrium: Ellipsoid;
  readonly rightVentricle: Ellipsoid;
  readonly rightWall: number;
  /** Depth of the septum between the atria. */
  readonly atrialSeptum: number;
  readonly outflow: Tube;
  readonly branches: readonly Tube[];
  readonly pulmonaryValve: Vector;
  /** Shortening from base to apex at end systole, part of the length. */
  readonly shortening: number;
}

const degree = Math.PI / 180;

/** Builds a heart from its sizes. Places of the base are in units of the normal radius; our own reading of the anatomy. */
export function buildAnatomy(size: HeartSize, variation: Variation): Anatomy {
  const u = size.unitCm;
  const radius = size.lvIddCm / 2;
  const halfLength = radius / variation.slenderness;
  const base = 0.42 * halfLength;
  const baseRadius = radius * Math.sqrt(1 - 0.42 * 0.42);
  const ra = (size.aorticCm / 2) * variation.aorta;
  const la = Math.sqrt(size.leftAtrium) * variation.atrium;
  const deeper = size.leftAtrium > 1 ? 0.32 * u * (size.leftAtrium - 1) : 0;
  const rh = size.rightHeart;
  const rv = rh * variation.rightVentricle;
  const ivs = size.ivsdCm;
  const septum = -0.66 * baseRadius;
  const aortaDepth = -baseRadius + 0.95 * ra;
  const rvTop = radius + ivs + 0.62 * u * rv;
  const raDepth = septum - 0.62 * u * Math.sqrt(rh);
  const turn = variation.rightTurnDeg * degree;
  const rvCentre = 0.46 * radius;
  const outflow: Tube = {
    radius: 0.43 * u * Math.sqrt(Math.min(1.5, rh)),
    points: [
      vector(0.1 * u, aortaDepth - ra - 0.62 * u, base - 0.35 * u),
      vector(0.62 * u, aortaDepth - ra - 0.5 * u, base + 0.2 * u),
      vector(1.25 * u, aortaDepth - 0.42 * u, base + 0.62 * u),
      vector(1.42 * u, aortaDepth + 0.55 * u, base + 0.95 * u),
    ],
  };
  const fork = outflow.points[3] as Vector;
  return {
    unit: u,
    size,
    radius,
    halfLength,
    base,
    baseRadius,
    papillary: variation.papillaryDeg.map((deg, n) => ({
      cos: exactCos(deg * degree),
      sin: (n === 0 ? -1 : 1) * exactSin(deg * degree),
      radius: 0.235 * u * (variation.papillarySize[n] ?? 1) * (1 + 0.35 * Math.max(0, ivs / (0.27 * u) - 1)),
    })),
    harmonics: variation.harmonics.map((h, n) => ({
      waves: n + 2,
      cos: h.size * exactCos(h.crestDeg * degree * (n + 2)),
      sin: h.size * exactSin(h.crestDeg * degree * (n + 2)),
    })),
    aorta: { at: vector(0.42 * u, aortaDepth, base), axis: unit(vector(0.08, -0.13, 1)), radius: ra },
    leftAtrium: {
      at: vector(-0.08 * u, 0.24 * baseRadius + deeper, base + 0.62 * u * la),
      radii: vector(1.12 * u * la, 0.98 * u * la, 0.98 * u * la),
    },
    auricle: {
      at: vector(1.02 * u * la, 0.62 * u + deeper, base + 0.42 * u),
      radii: vector(0.7 * u * la, 0.34 * u * la, 0.36 * u * la),
    },
    rightAtrium: {
      at: vector(-0.72 * u, raDepth, base + 0.82 * u),
      radii: vector(1.0 * u * Math.sqrt(rh), 0.72 * u * rh, 0.88 * u * Math.sqrt(rh)),
    },
    rightVentricle: {
      at: vector(-exactSin(turn) * rvCentre - 0.12 * u, -exactCos(turn) * rvCentre, 0.05 * halfLength),
      radii: vector((radius + ivs) * 0.98 + 0.16 * u * rv, rvTop - rvCentre, 0.84 * halfLength),
    },
    rightWall: 0.13 * u * (rh > 1 ? 1.5 : 1),
    atrialSeptum: septum,
    outflow,
    pulmonaryValve: outflow.points[2] as Vector,
    branches: [
      {
        radius: 0.27 * u,
        points: [
          fork,
          vector(0.5 * u, aortaDepth + ra + 0.36 * u, base + 1.22 * u),
          vector(-0.7 * u, aortaDepth + ra + 0.4 * u, base + 1.3 * u),
        ],
      },
      { radius: 0.27 * u, points: [fork, vector(1.6 * u, aortaDepth + 1.6 * u, base + 1.25 * u)] },
    ],
    shortening: 0.1 * Math.min(1.2, (1 - size.lvIdsCm / size.lvIddCm) / 0.36),
  };
}
