import type { Ellipse } from '../picture/ellipse';
import type { RightSide } from './right-side';

/** The cavity in one frame, original pixels. */
export interface TracedFrame {
  readonly ellipse: Ellipse;
  readonly areaPx2: number;
  /** Mean step from blood to wall along the outline, 0 to 1. */
  readonly edge: number;
}

export interface LvTrace {
  /** One for each frame; null as a whole where no cavity was found. */
  readonly frames: readonly TracedFrame[] | null;
  /** Cavity at its largest, original pixels. */
  readonly endDiastole: TracedFrame | null;
  /** Outer border of the wall as a multiple of the cavity's size at end diastole. */
  readonly wallFactor: number;
  /** Area by counting dark pixels, as part of the largest: goes on falling while a cavity closes. One for each frame. */
  readonly bloodAreaCurve: readonly number[];
  /** Step between blood and wall in grey levels. */
  readonly contrast: number;
  /** How far the best place stands out from the next, 0 to 1. */
  readonly seedLead: number;
  /** How far the learned finder, the search by darkness and the fit speak of one cavity, 0 to 1. */
  readonly agreement: number;
  /** Ellipses at the frames where the cavity is nearly at its largest, original pixels. */
  readonly largest: readonly TracedFrame[];
  readonly rightSide: RightSide | null;
  /** Share of the outline's half towards the probe that is as bright as wall: a septum, if the outline holds both ventricles. */
  readonly brightInside: number;
}

/** Where no cavity was found. */
export const noTrace: LvTrace = {
  frames: null,
  endDiastole: null,
  wallFactor: 0,
  bloodAreaCurve: [],
  contrast: 0,
  seedLead: 0,
  agreement: 0,
  largest: [],
  rightSide: null,
  brightInside: 0,
};
