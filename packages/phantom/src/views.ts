import type { Anatomy } from './anatomy';
import type { CutPlane } from './cut-plane';
import { aorticPlane, longAxisPlane, shortAxisPlane } from './cut-plane';
import { lungPlane, lungPoint } from './lung';
import {
  apicalPlane,
  cranialBasePlane,
  leftLongPlane,
  pulmonaryPlane,
  rightInflowPlane,
  subcostalPlane,
} from './other-planes';
import type { Vector } from './vectors';
import { vector } from './vectors';

export const phantomViews = [
  'rps-short-papillary',
  'rps-short-aortic',
  'rps-long-4ch',
  'rps-long-outflow',
  'rps-short-chordae',
  'rps-short-mitral',
  'rps-short-pulmonary',
  'lap-4ch',
  'lap-5ch',
  'lcr-base',
  'subcostal-outflow',
  'effusion-sweep',
  'lung-points',
  'eq-r-4ch',
  'eq-r-lvot',
  'eq-r-rv',
  'eq-r-short-papillary',
  'eq-l-2ch',
  'eq-l-lvot',
] as const;
export type PhantomView = (typeof phantomViews)[number];

/** Heights of the short axes as part of the ventricle's half length. */
const levels = { 'rps-short-papillary': -0.03, 'rps-short-chordae': 0.19, 'rps-short-mitral': 0.28 } as const;

/** Where the four-chamber plane passes the base: beside the aorta. */
export function fourChamberPoint(anatomy: Anatomy): Vector {
  return vector(-0.22 * anatomy.unit, 0, anatomy.base);
}

/** The plane of a standard view, cut as it should be. `levelShift`: towards the base, part of the half length. */
export function planeFor(view: PhantomView, anatomy: Anatomy, levelShift: number): CutPlane {
  const u = anatomy.unit;
  switch (view) {
    case 'rps-short-papillary':
    case 'eq-r-short-papillary':
    case 'rps-short-chordae':
    case 'rps-short-mitral':
      return shortAxisPlane(
        anatomy,
        levels[view === 'eq-r-short-papillary' ? 'rps-short-papillary' : view] + levelShift,
      );
    case 'rps-short-aortic':
      return aorticPlane(anatomy, 0.32 + (levelShift * anatomy.halfLength) / anatomy.aorta.radius);
    case 'rps-short-pulmonary':
      return pulmonaryPlane(anatomy);
    case 'rps-long-4ch':
    case 'eq-r-4ch':
      return longAxisPlane(anatomy, fourChamberPoint(anatomy));
    case 'rps-long-outflow':
    case 'eq-r-lvot':
      return longAxisPlane(anatomy, anatomy.aorta.at);
    case 'effusion-sweep': {
      const plane = longAxisPlane(anatomy, fourChamberPoint(anatomy));
      return { ...plane, depth: plane.depth + 1.6 * u };
    }
    case 'lung-points':
      return lungPlane(lungPoint(u, 0));
    case 'eq-r-rv':
      return rightInflowPlane(anatomy);
    case 'eq-l-2ch':
      return leftLongPlane(anatomy, fourChamberPoint(anatomy));
    case 'eq-l-lvot':
      return leftLongPlane(anatomy, anatomy.aorta.at);
    case 'lap-4ch':
      return apicalPlane(anatomy, fourChamberPoint(anatomy));
    case 'lap-5ch':
      return apicalPlane(anatomy, anatomy.aorta.at);
    case 'lcr-base':
      return cranialBasePlane(anatomy);
    case 'subcostal-outflow':
      return subcostalPlane(anatomy);
  }
}
